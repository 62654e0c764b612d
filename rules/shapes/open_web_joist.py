"""An open-web joist: two chords laid flat, webs between them in the form of a zigzag, a post over each bearing."""

from __future__ import annotations

from collections.abc import Iterator

from rules.shapes.drawing import Board, Drawing, Form, depth, number
from rules.subject.frame import Seat
from rules.subject.shape import Shape

ROLES = ("top-chord", "bottom-chord", "post", "web")


def draw(shape: Shape) -> Drawing:
    """Chords TOP and BOT, posts P1 and P2, webs W1, W2, … from left to right. It stands on its bottom chord.

    The webs meet the bottom chord at the ends of its bays, and the top chord over their middles.
    """
    bays, bearing, up = int(number(shape.panels)), number(shape.bearing_mm), _between(shape)
    span = number(shape.clear_span_mm) + bearing
    board = Board(shape)
    below = [board.node(f"B{i}", span * i / bays, 0.0) for i in range(bays + 1)]
    above = [board.node(f"T{i + 1}", span * (i + 0.5) / bays, up) for i in range(bays)]
    ends = [board.node("TE1", 0.0, up), board.node("TE2", span, up)]
    horn = bearing / 2.0
    tips = [
        board.node(name, x, y) for name, x, y in (("BL", -horn, 0.0), ("BR", span + horn, 0.0), ("TL", -horn, up), ("TR", span + horn, up))
    ]
    board.piece("TOP", "top-chord", tips[2], ends[0], *above, ends[1], tips[3])
    board.piece("BOT", "bottom-chord", tips[0], *below, tips[1])
    board.piece("P1", "post", below[0], ends[0])
    board.piece("P2", "post", below[-1], ends[1])
    for i, top in enumerate(above):
        board.piece(f"W{2 * i + 1}", "web", below[i], top)
        board.piece(f"W{2 * i + 2}", "web", top, below[i + 1])
    _bearings(board, below[0], below[-1])
    return board.done()


def _bearings(board: Board, first: str, last: str) -> None:
    shape = board.shape
    width = getattr(shape.pieces["bottom-chord"].section, "b_mm", None)
    seat = Seat(None, shape.bearing_mm, width, (0.0, -depth(shape, "bottom-chord") / 2.0), shape.plate_grade)
    board.bearing("S1", first, "BOT", sideways=True, seat=seat)
    board.bearing("S2", last, "BOT", sideways=False, seat=seat)


def _between(shape: Shape) -> float:
    """Distance of the chords' centre lines, mm."""
    return number(shape.depth_mm) - (depth(shape, "top-chord") + depth(shape, "bottom-chord")) / 2.0


def _wrong(shape: Shape) -> Iterator[tuple[str, str, object]]:
    least = depth(shape, "top-chord") + depth(shape, "bottom-chord")
    if number(shape.depth_mm) <= least:
        yield "depth_mm", "Nothing is left between the chords.", f"above {least:g} mm"


FORM = Form(
    "open-web-joist", "two chords, a zigzag of webs and two posts", ("clear_span_mm", "bearing_mm", "depth_mm", "panels"), ROLES, draw,
    ("plate_grade",), _wrong, ("top-chord", "bottom-chord"),
)  # fmt: skip
