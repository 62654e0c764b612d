"""A Howe truss: posts at the quarters and the middle, and struts that rise outwards from the middle of the tie."""

from __future__ import annotations

from rules.shapes.drawing import Drawing, Form
from rules.shapes.roof import MAY, NEEDS, SOLID, frame_roof
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Posts P1 to P3 from left to right, struts W1 and W2 from the foot of the middle one."""
    board, _ = frame_roof(shape, inner=(0.5,), tie=(0.25, 0.5, 0.75))
    for place, (above, below) in enumerate((("B", "F1"), ("C", "F2"), ("D", "F3")), start=1):
        board.piece(f"P{place}", "post", below, above)
    board.piece("W1", "web", "F2", "B")
    board.piece("W2", "web", "F2", "D")
    return board.done()


WHAT = "two rafters, a tie, three posts and two struts"
FORM = Form("howe", WHAT, NEEDS, ("rafter", "ceiling-tie", "post", "web"), draw, MAY, solid=SOLID)
