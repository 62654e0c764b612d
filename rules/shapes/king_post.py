"""A king-post truss: a post from the ridge to the middle of the tie, and struts from its foot to the rafters."""

from __future__ import annotations

from rules.shapes.drawing import Drawing, Form
from rules.shapes.roof import MAY, NEEDS, SOLID, frame_roof
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Post P1 from the ridge; struts W1 and W2 from its foot to the middle of each rafter."""
    board, _ = frame_roof(shape, inner=(0.5,), tie=(0.5,))
    board.piece("P1", "post", "F1", "C")
    board.piece("W1", "web", "F1", "B")
    board.piece("W2", "web", "F1", "D")
    return board.done()


WHAT = "two rafters, a tie, a post from the ridge and two struts"
FORM = Form("king-post", WHAT, NEEDS, ("rafter", "ceiling-tie", "post", "web"), draw, MAY, solid=SOLID)
