"""A solid joist: one piece from bearing to bearing."""

from __future__ import annotations

from rules.shapes.drawing import Board, Drawing, Form, number
from rules.subject.frame import Seat
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Joist J1 between the middles of its bearings."""
    bearing = number(shape.bearing_mm)
    board = Board(shape)
    board.node("A", 0.0, 0.0)
    board.node("B", number(shape.clear_span_mm) + bearing, 0.0)
    board.piece("J1", "joist", "A", "B")
    seat = Seat(None, bearing, getattr(shape.pieces["joist"].section, "b_mm", None), grade=shape.plate_grade)
    board.bearing("S1", "A", "J1", sideways=True, seat=seat)
    board.bearing("S2", "B", "J1", sideways=False, seat=seat)
    return board.done()


FORM = Form(
    "solid-joist", "one piece on two bearings", ("clear_span_mm", "bearing_mm"), ("joist",), draw, ("plate_grade",), solid=("joist",)
)
