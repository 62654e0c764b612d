"""Roof, ceiling and floor as their pieces lie: which stretch of which piece a load on plan falls on."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rules.subject.actions import LineLoad
from rules.subject.design import ROOF_TYPES, Design

ROLES = {
    "roof": ("rafter", "top-chord"),
    "ceiling": ("ceiling-tie", "bottom-chord"),
    "floor": ("joist", "top-chord"),
    "room": ("ceiling-tie", "bottom-chord"),
    "below": ("joist", "bottom-chord"),
    "collar": ("collar",),
}
LEVEL_DEG = 3.0
"""Flatter than this is level."""


@dataclass(frozen=True, slots=True)
class Slope:
    """One piece on plan: from x1 to x2 along it, mm; never upright."""

    member: str
    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def length(self) -> float:
        """mm, along the piece."""
        return math.hypot(self.x2 - self.x1, self.y2 - self.y1)

    @property
    def low_x(self) -> float:
        """The smaller x of its ends."""
        return min(self.x1, self.x2)

    @property
    def high_x(self) -> float:
        """The greater x of its ends."""
        return max(self.x1, self.x2)

    @property
    def pitch_deg(self) -> float:
        """0 to 90, to a ten-thousandth, which is finer than nodes are given."""
        return round(math.degrees(math.atan2(abs(self.y2 - self.y1), abs(self.x2 - self.x1))), 4)

    @property
    def rises(self) -> int:
        """1 where it rises to the right, -1 to the left, 0 where it is level."""
        if self.pitch_deg < LEVEL_DEG:
            return 0
        return 1 if (self.y2 - self.y1) * (self.x2 - self.x1) > 0.0 else -1

    def along(self, x: float) -> float:
        """Where this x is along the piece, mm from its first node."""
        return (x - self.x1) / (self.x2 - self.x1) * self.length


def surface(design: Design, on: str) -> tuple[Slope, ...]:
    """The pieces of a surface, in the order of the document. A roof's floor is the floor of a room in it: its ties."""
    in_roof = design.component_type in ROOF_TYPES
    where = {("floor", True): "room", ("ceiling", False): "below"}.get((on, in_roof), on)
    at = {node.id: node for node in design.nodes}
    found = []
    for member in design.members:
        first, last = at[member.nodes[0]], at[member.nodes[-1]]
        if member.role in ROLES[where] and abs(first.x_mm - last.x_mm) >= 1.0:
            found.append(Slope(member.id, first.x_mm, first.y_mm, last.x_mm, last.y_mm))
    return tuple(found)


def stretch(design: Design, begin: str | None, end: str | None) -> tuple[float, float]:
    """Between which places on plan something lies that begins and ends at these nodes, mm."""
    at = {node.id: node.x_mm for node in design.nodes}
    ends = [at[begin] if begin else -math.inf, at[end] if end else math.inf]
    return (ends[0], ends[1]) if begin is None or end is None else (min(ends), max(ends))


DUST = 1e-12
"""Less than this is nothing: what is left of a drift where it ends."""


def nine(number: float) -> float:
    """Nine significant digits, so that a load written out is the load that was analysed."""
    return 0.0 if abs(number) < DUST else float(f"{number:.9g}")


def laid(
    pieces: Sequence[Slope], line: float, along: str, *, low: float = -math.inf, high: float = math.inf, end: float | None = None,
    direction: str = "down", face: str | None = None,
) -> tuple[LineLoad, ...]:  # fmt: skip
    """A line load on every piece between two places on plan; `end`: its value at `high`, where it changes evenly from `low`."""
    return tuple(_laid(pieces, line, along, low, high, line if end is None else end, direction, face))


def _laid(
    pieces: Sequence[Slope], line: float, along: str, low: float, high: float, end: float, direction: str, face: str | None
) -> Iterator[LineLoad]:
    for piece in pieces:
        start, stop = max(low, piece.low_x), min(high, piece.high_x)
        if stop - start < 1.0:
            continue
        first, last = (start, stop) if piece.x2 > piece.x1 else (stop, start)
        at = [line if end == line else line + (end - line) * (x - low) / (high - low) for x in (first, last)]
        whole = start == piece.low_x and stop == piece.high_x
        yield LineLoad(
            piece.member,
            nine(at[0]),
            direction,
            along,
            None if end == line else nine(at[1]),
            face,
            None if whole else nine(piece.along(first)),
            None if whole else nine(piece.along(last)),
        )


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a roof: its pieces, what they have in common, and where they lie on plan, mm."""

    pieces: tuple[Slope, ...]
    pitch_deg: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class RoofForm:
    """A roof of one or two slopes, or a level one. kind: "duopitch", "monopitch" or "level"; sides by where their eaves are, "left" or
    "right" (a level one has both at once, and is the left); walls: outer edges of the outermost bearings on plan, mm."""

    kind: str
    sides: dict[str, Side]
    walls: tuple[float, float]

    @property
    def extent(self) -> tuple[float, float]:
        """From eaves to eaves on plan, mm."""
        return min(side.low for side in self.sides.values()), max(side.high for side in self.sides.values())

    def eaves(self) -> Iterator[tuple[str, float, float]]:
        """Every edge over which snow may hang: the side it belongs to, where it is, and the wall below it."""
        for name, side in self.sides.items():
            if name == "left" or self.kind == "level":
                yield name, side.low, self.walls[0]
            if name == "right" or self.kind == "level":
                yield name, side.high, self.walls[1]


SAME_DEG = 1.0
STEP_MM = 50.0
"""Slopes whose upper ends lie farther apart than this do not meet in a ridge."""
PLANE_MM = 200.0
"""Pieces whose middles are farther off the line of the first are no one slope, a degree of pitch allowed for."""


def roof_form(design: Design) -> RoofForm | None:
    """The roof's form; None where it is neither level, nor one slope, nor two that meet in a ridge, each of one pitch."""
    pieces = surface(design, "roof")
    if pieces and all(p.rises == 0 for p in pieces):
        return RoofForm("level", {"left": _side(pieces)}, _walls(design)) if _even(pieces) else None
    parts = {"left": tuple(p for p in pieces if p.rises > 0), "right": tuple(p for p in pieces if p.rises < 0)}
    sides = {name: _side(own) for name, own in parts.items() if own}
    if not sides or any(p.rises == 0 for p in pieces) or any(not _even(own) for own in parts.values()):
        return None
    if len(sides) == 2 and (
        abs(sides["left"].high - sides["right"].low) > STEP_MM or abs(_top(parts["left"]) - _top(parts["right"])) > STEP_MM
    ):
        return None
    return RoofForm("duopitch" if len(sides) == 2 else "monopitch", sides, _walls(design))


def _top(pieces: tuple[Slope, ...]) -> float:
    return max(max(piece.y1, piece.y2) for piece in pieces)


def _walls(design: Design) -> tuple[float, float]:
    """The outer edges of the outermost bearings on plan, mm."""
    at = {node.id: node.x_mm for node in design.nodes}
    edges = []
    for support in design.supports:
        seat = support.seat
        middle = at[support.node] + (seat.offset_mm[0] if seat else 0.0)
        half = (seat.length_mm or 0.0) / 2.0 if seat else 0.0
        edges += [middle - half, middle + half]
    return min(edges), max(edges)


def _side(pieces: tuple[Slope, ...]) -> Side:
    return Side(pieces, pieces[0].pitch_deg, min(p.low_x for p in pieces), max(p.high_x for p in pieces))


def _even(pieces: tuple[Slope, ...]) -> bool:
    """Of one pitch and in one plane: a roof that steps catches snow and wind at the step."""
    if not pieces:
        return True
    first = pieces[0]
    grade = (first.y2 - first.y1) / (first.x2 - first.x1)
    off = (abs((p.y1 + p.y2) / 2.0 - first.y1 - grade * ((p.x1 + p.x2) / 2.0 - first.x1)) for p in pieces)
    return max(p.pitch_deg for p in pieces) - min(p.pitch_deg for p in pieces) <= SAME_DEG and max(off) <= PLANE_MM
