"""A raised tie: two rafters that stand on the plates, tied some way up."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rules.shapes.drawing import Board, Drawing, Form, depth, number
from rules.shapes.roof import MAY, NEEDS, SOLID, Outline, overhangs, plate
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Rafters TC1 and TC2, tie BC. The rafter's foot is over the middle of the plate, its birdsmouth half its upright depth below."""
    lines = _lines(shape)
    board, up = Board(shape), number(shape.tie_height_mm) / lines.slope
    for name, x in (("A", 0.0), ("B", up), ("C", lines.half), ("D", 2.0 * lines.half - up), ("E", 2.0 * lines.half)):
        board.node(name, x, lines.rafter(x))
    start, end = overhangs(board, lines)
    board.piece("TC1", "rafter", *start, "A", "B", "C")
    board.piece("TC2", "rafter", *end, "E", "D", "C")
    board.piece("BC", "ceiling-tie", "B", "D")
    below = -depth(shape, "rafter") / 2.0 / math.cos(math.atan(lines.slope)) if start else 0.0
    for name, node, rafter in (("S1", "A", "TC1"), ("S2", "E", "TC2")):
        board.bearing(name, node, rafter, sideways=node == "A", seat=plate(shape, "rafter", below))
    return board.done()


def _lines(shape: Shape) -> Outline:
    width = number(shape.plate_width_mm)
    slope = math.tan(math.radians(number(shape.pitch_deg)))
    return Outline((number(shape.span_over_plates_mm) - width) / 2.0, slope, -width / 2.0)


def _wrong(shape: Shape) -> Iterator[tuple[str, str, object]]:
    lines = _lines(shape)
    top = lines.rafter(lines.half)
    if number(shape.tie_height_mm) > 0.95 * top:
        yield "tie_height_mm", "The tie lies above the ridge or just below it.", f"at most {0.95 * top:.0f} mm"


FORM = Form(
    "raised-tie", "two rafters and a tie above their feet", (*NEEDS, "tie_height_mm"), ("rafter", "ceiling-tie"), draw, MAY, _wrong, SOLID
)  # fmt: skip
