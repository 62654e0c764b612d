"""A queen-post truss: two posts at the thirds of the tie, and a strut between their heads."""

from __future__ import annotations

from rules.shapes.drawing import Drawing, Form
from rules.shapes.roof import MAY, NEEDS, SOLID, frame_roof
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Posts P1 and P2 at the thirds of the span, strut W1 between their heads on the rafters. The middle bay has no diagonal."""
    board, _ = frame_roof(shape, inner=(2.0 / 3.0,), tie=(1.0 / 3.0, 2.0 / 3.0))
    board.piece("P1", "post", "F1", "B")
    board.piece("P2", "post", "F2", "D")
    board.piece("W1", "strut", "B", "D")
    return board.done()


WHAT = "two rafters, a tie, two posts and a strut between their heads"
FORM = Form("queen-post", WHAT, NEEDS, ("rafter", "ceiling-tie", "post", "strut"), draw, MAY, solid=SOLID)
