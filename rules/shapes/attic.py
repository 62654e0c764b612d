"""An attic truss: a room in the roof, between posts and under a collar; its floor is the tie."""

from __future__ import annotations

from collections.abc import Iterator

from rules.shapes.drawing import Drawing, Form, number
from rules.shapes.roof import MAY, NEEDS, SOLID, frame_roof, outline
from rules.subject.shape import Shape


def draw(shape: Shape) -> Drawing:
    """Posts P1 and P2 beside the room, collar CO above it. Measured between centre lines."""
    lines = outline(shape)
    post, collar = _shares(shape)
    board, _ = frame_roof(shape, inner=(post, collar), tie=(post / 2.0, 1.0 - post / 2.0))
    board.piece("CO", "collar", "B2", "D2")
    board.piece("P1", "post", "F1", "B1")
    board.piece("P2", "post", "F2", "D1")
    board.note("/shape/room_height_mm", round(collar * lines.half * lines.slope, 3), "Taken between the centre lines of tie and collar.")
    return board.done()


def _shares(shape: Shape) -> tuple[float, float]:
    """Where posts and collar meet the rafters, as shares of the half span."""
    lines = outline(shape)
    post = 1.0 - number(shape.room_width_mm) / 2.0 / lines.half
    return post, number(shape.room_height_mm) / (lines.half * lines.slope)


def _wrong(shape: Shape) -> Iterator[tuple[str, str, object]]:
    lines = outline(shape)
    widest = 2.0 * lines.half
    post, collar = _shares(shape)
    if not 0.02 < post < 0.98:
        yield "room_width_mm", "The room does not fit between the heels.", f"above 0 and well below {widest:.0f} mm"
    elif not post + 0.01 < collar < 0.98:
        low, high = post * lines.half * lines.slope, lines.half * lines.slope
        yield "room_height_mm", "The collar does not meet the rafters above the posts and below the ridge.", f"{low:.0f} to {high:.0f} mm"


WHAT = "two rafters, a tie as floor, two posts and a collar"
FORM = Form(
    "attic", WHAT, (*NEEDS, "room_width_mm", "room_height_mm"), ("rafter", "ceiling-tie", "post", "collar"), draw, MAY, _wrong, SOLID
)  # fmt: skip
