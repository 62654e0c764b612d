"""A Fink truss: webs in the form of a W, from the thirds of the tie to the middles of the rafters and the ridge."""

from __future__ import annotations

from rules.shapes.drawing import Drawing, Form
from rules.shapes.roof import MAY, NEEDS, SOLID, frame_roof
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Webs W1 to W4 from left to right: the outer ones are pushed, the inner ones pulled, under load from above."""
    board, _ = frame_roof(shape, inner=(0.5,), tie=(1.0 / 3.0, 2.0 / 3.0))
    board.piece("W1", "web", "B", "F1")
    board.piece("W2", "web", "F1", "C")
    board.piece("W3", "web", "C", "F2")
    board.piece("W4", "web", "F2", "D")
    return board.done()


FORM = Form("fink", "two rafters, a tie and four webs", NEEDS, ("rafter", "ceiling-tie", "web"), draw, MAY, solid=SOLID)
