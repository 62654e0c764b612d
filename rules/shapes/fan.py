"""A fan truss: from each third of the tie three webs fan out to the rafter above."""

from __future__ import annotations

from rules.shapes.drawing import Drawing, Form
from rules.shapes.roof import MAY, NEEDS, SOLID, frame_roof
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Webs W1 to W6 from left to right, to the thirds of the rafters and the ridge."""
    board, _ = frame_roof(shape, inner=(1.0 / 3.0, 2.0 / 3.0), tie=(1.0 / 3.0, 2.0 / 3.0))
    ends = (("B1", "F1"), ("B2", "F1"), ("C", "F1"), ("C", "F2"), ("D2", "F2"), ("D1", "F2"))
    for place, (above, below) in enumerate(ends, start=1):
        board.piece(f"W{place}", "web", above, below)
    return board.done()


FORM = Form("fan", "two rafters, a tie and six webs", NEEDS, ("rafter", "ceiling-tie", "web"), draw, MAY, solid=SOLID)
