"""A mono-pitch truss: one rafter rising to the right, a level tie, a post over the higher wall."""

from __future__ import annotations

import math

from rules.shapes.drawing import Board, Drawing, Form, depth, number
from rules.shapes.roof import MAY, NEEDS, SOLID, Outline, lay_tie, overhangs
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Rafter TC1, tie BC, post P1 flush with the higher plate's outer edge, webs W1 (upright) and W2 (diagonal)."""
    pitch, tie = math.radians(number(shape.pitch_deg)), depth(shape, "ceiling-tie")
    outside = (depth(shape, "rafter") / 2.0 / math.cos(pitch) - tie / 2.0) / math.tan(pitch)
    run = outside + number(shape.span_over_plates_mm) - depth(shape, "post") / 2.0
    board, lines = Board(shape), Outline(run, math.tan(pitch), outside)
    for name, share in (("A", 0.0), ("B", 0.5), ("C", 1.0)):
        board.node(name, share * run, share * run * lines.slope)
    board.node("F1", run / 2.0, 0.0)
    board.node("E", run, 0.0)
    board.piece("TC1", "rafter", *_eaves(board, lines), "A", "B", "C")
    half = number(shape.plate_width_mm) / 2.0
    lay_tie(board, {"A": 0.0, "F1": run / 2.0, "E": run}, (outside + half, run + depth(shape, "post") / 2.0 - half))
    board.piece("P1", "post", "E", "C")
    board.piece("W1", "web", "F1", "B")
    board.piece("W2", "web", "F1", "C")
    return board.done()


def _eaves(board: Board, lines: Outline) -> list[str]:
    """The overhang is at the lower end only."""
    start, end = overhangs(board, lines)
    board.nodes = [node for node in board.nodes if node.id not in end]
    return start


WHAT = "one rafter, a tie, a post over the higher wall and two webs"
FORM = Form("mono", WHAT, NEEDS, ("rafter", "ceiling-tie", "post", "web"), draw, MAY, solid=(*SOLID, "post"))
