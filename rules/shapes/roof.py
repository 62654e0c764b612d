"""What the roofs with a level tie share: two rafters over a tie, meeting it where their undersides meet the plate's outer edge.

Node lines are the centre lines of the timber. The undersides of rafter and tie meet over the outer edge of the wall plate, so the
centre lines cross (h_r/(2·cos α) − h_t/2)/tan α outside it, and the middle of the plate stands that much and half its width inside
the heel, half the tie's depth below it (plane geometry). The tie bears there, at a node of its own, and bends for being met outside it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from rules.shapes.drawing import Board, depth, number
from rules.subject.frame import Seat
from rules.subject.shape import Shape

NEEDS = ("span_over_plates_mm", "pitch_deg", "plate_width_mm")
MAY = ("overhang_mm", "plate_grade")
SOLID = ("rafter", "ceiling-tie")
NEAR_MM = 10.0
"""What is nearer to a node than this, a bearing or the end of an overhang, is at the node: so short a bay would only cost digits."""


@dataclass(frozen=True, slots=True)
class Outline:
    """The triangle of the centre lines: left heel at the origin. outside: from the plate's outer edge out to the heel node, mm."""

    half: float
    slope: float
    outside: float

    def rafter(self, x: float) -> float:
        """Height of the rafters' centre line at x, mm."""
        return min(x, 2.0 * self.half - x) * self.slope


def outline(shape: Shape) -> Outline:
    """Measure the roof."""
    pitch = math.radians(number(shape.pitch_deg))
    outside = (depth(shape, "rafter") / 2.0 / math.cos(pitch) - depth(shape, "ceiling-tie") / 2.0) / math.tan(pitch)
    return Outline(number(shape.span_over_plates_mm) / 2.0 + outside, math.tan(pitch), outside)


def frame_roof(shape: Shape, inner: tuple[float, ...] = (), tie: tuple[float, ...] = ()) -> tuple[Board, Outline]:
    """Draw rafters, tie and bearings. inner: where the left rafter has nodes, as shares of the half span, mirrored on the right;
    tie: where the tie has, as shares of the span."""
    board, lines = Board(shape), outline(shape)
    left = [board.node("A", 0.0, 0.0), *(_on_rafter(board, lines, f"B{i}", share) for i, share in _named(inner))]
    apex = board.node("C", lines.half, lines.rafter(lines.half))
    right = [board.node("E", 2.0 * lines.half, 0.0), *(_on_rafter(board, lines, f"D{i}", 2.0 - share) for i, share in _named(inner))]
    below = [board.node(f"F{i}", 2.0 * lines.half * share, 0.0) for i, share in enumerate(tie, start=1)]
    start, end = overhangs(board, lines)
    board.piece("TC1", "rafter", *start, *left, apex)
    board.piece("TC2", "rafter", *end, *right, apex)
    inside = lines.outside + number(shape.plate_width_mm) / 2.0
    lay_tie(board, {"A": 0.0, **{name: 2.0 * lines.half * share for name, share in zip(below, tie, strict=True)}, "E": 2.0 * lines.half},
            (inside, 2.0 * lines.half - inside))  # fmt: skip
    return board, lines


def lay_tie(board: Board, places: dict[str, float], bearings: tuple[float, float]) -> None:
    """Lay the tie through its nodes and through one over the middle of each plate. places: x of the nodes that are there."""
    at = dict(places)
    for name, support, x in (("S1", "SL", bearings[0]), ("S2", "SR", bearings[1])):
        near = next((node for node, place in at.items() if abs(place - x) < NEAR_MM), None)
        node = near or board.node(support, x, 0.0)
        at |= {} if near else {support: x}
        below = 0.0 if near in ("A", "E") else -depth(board.shape, "ceiling-tie") / 2.0
        board.bearing(name, node, "BC", sideways=name == "S1", seat=plate(board.shape, "ceiling-tie", below))
    board.piece("BC", "ceiling-tie", *sorted(at, key=lambda node: at[node]))


def _named(shares: tuple[float, ...]) -> list[tuple[str, float]]:
    return [(str(i) if len(shares) > 1 else "", share) for i, share in enumerate(shares, start=1)]


def _on_rafter(board: Board, lines: Outline, name: str, share: float) -> str:
    x = share * lines.half
    return board.node(name, x, lines.rafter(x))


def overhangs(board: Board, lines: Outline) -> tuple[list[str], list[str]]:
    """Nodes at the ends of the rafters' overhangs, none where there is no overhang."""
    stated = board.shape.overhang_mm
    if stated is None:
        board.note("/shape/overhang_mm", 0, "Not stated: the rafters are taken to end over the plates.")
    if not stated:
        return [], []
    out = stated - lines.outside
    if out < NEAR_MM:
        return [], []
    return [board.node("L0", -out, -out * lines.slope)], [board.node("R0", 2.0 * lines.half + out, -out * lines.slope)]


def plate(shape: Shape, role: str, below: float) -> Seat:
    """The wall plate under pieces of this role, its middle so far above (below: negative) the node, mm."""
    section = shape.pieces[role].section
    width = getattr(section, "b_mm", None)
    plies = shape.pieces[role].plies
    return Seat("wall-plate", shape.plate_width_mm, None if width is None else width * plies, (0.0, below), shape.plate_grade)
