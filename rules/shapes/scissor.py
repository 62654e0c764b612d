"""A scissor truss: two rafters over two ties that rise to the middle, for a sloping ceiling."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rules.shapes.drawing import Board, Drawing, Form, depth, number
from rules.shapes.roof import MAY, NEEDS, SOLID, Outline, overhangs, plate
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Rafters TC1 and TC2, ties BC1 and BC2, post P1 between their middles, webs W1 and W2 from its foot to the rafters' middles.

    The centre lines of rafter and tie meet over the middle of the wall plate.
    """
    plate_width = number(shape.plate_width_mm)
    half = (number(shape.span_over_plates_mm) - plate_width) / 2.0
    board, lines = Board(shape), Outline(half, math.tan(math.radians(number(shape.pitch_deg))), -plate_width / 2.0)
    for name, x in (("A", 0.0), ("B", 0.5 * half), ("C", half), ("D", 1.5 * half), ("E", 2.0 * half)):
        board.node(name, x, lines.rafter(x))
    board.node("K", half, half * math.tan(math.radians(number(shape.ceiling_pitch_deg))))
    start, end = overhangs(board, lines)
    board.piece("TC1", "rafter", *start, "A", "B", "C")
    board.piece("TC2", "rafter", *end, "E", "D", "C")
    board.piece("BC1", "ceiling-tie", "A", "K")
    board.piece("BC2", "ceiling-tie", "E", "K")
    board.piece("P1", "post", "K", "C")
    board.piece("W1", "web", "K", "B")
    board.piece("W2", "web", "K", "D")
    below = -depth(shape, "ceiling-tie") / 2.0 if start else 0.0  # a node of ends alone takes no moment from a reaction beside it
    for name, node, tie in (("S1", "A", "BC1"), ("S2", "E", "BC2")):
        board.bearing(name, node, tie, sideways=node == "A", seat=plate(shape, "ceiling-tie", below))
    return board.done()


def _wrong(shape: Shape) -> Iterator[tuple[str, str, object]]:
    if number(shape.ceiling_pitch_deg) > number(shape.pitch_deg) - 5.0:
        most = f"at most {number(shape.pitch_deg) - 5.0:g}°"
        yield "ceiling_pitch_deg", "The ceiling has to be at least 5° flatter than the roof, or the frame has no depth.", most


WHAT = "two rafters, two rising ties, a post and two webs"
FORM = Form(
    "scissor", WHAT, (*NEEDS, "ceiling_pitch_deg"), ("rafter", "ceiling-tie", "post", "web"), draw, MAY, _wrong, SOLID
)  # fmt: skip
