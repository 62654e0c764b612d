"""A couple: two rafters and the tie that holds their feet together."""

from __future__ import annotations

from rules.shapes.drawing import Drawing, Form
from rules.shapes.roof import MAY, NEEDS, SOLID, frame_roof
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Two rafters over a tie, and nothing between."""
    board, _ = frame_roof(shape)
    return board.done()


FORM = Form("couple", "two rafters and a tie", NEEDS, ("rafter", "ceiling-tie"), draw, MAY, solid=SOLID)
