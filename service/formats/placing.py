"""Where names and numbers of a drawing stand: each in the first of its places that covers nothing, or in the one that covers least."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from service.formats.drawing import Drawing, Mark, Piece, Point, along

Floats = NDArray[np.float64]
CROWDED = 250
"""So many names and numbers are set with care; a sheet with more has no free place to look for."""
_LETTER, _TALL = 6.8, 15.0
_ON_LINES, _OFF_SHEET, _LATER = 3.0, 1e5, 0.5
"""What it costs, in mm² of words covered: a mm of a piece under the words, to leave the sheet, and each place liked less than the one before."""
_SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82)
_ABOUT = ((0, -16), (0, 16), (-14, -12), (14, -12), (-14, 12), (14, 12), (-16, 0), (16, 0), (0, -28), (0, 28))
_RINGS = [
    (far * x, far * y)
    for far in (22.0, 34.0, 48.0, 64.0)
    for x, y in ((0, 1), (0, -1), (1, 0), (-1, 0), (0.7, 0.7), (-0.7, 0.7), (0.7, -0.7), (-0.7, -0.7))
]
MOST_NUMBERS = 6


@dataclass(frozen=True, slots=True)
class Spot:
    """Numbers of what was found at one place. at: that place; set_at: where the numbers stand; wide: of what holds them."""

    at: Point
    set_at: Point
    wide: float
    words: str
    worst: str


class Sheet:
    """What of the sheet of a drawing is taken: by its supports and by the words set so far; words may cross a piece but had better not.
    taken: boxes, a row each: left, top, right, low."""

    def __init__(self, drawn: Drawing) -> None:
        lines = [(*a, *b) for piece in drawn.pieces for a, b in zip(piece.ends, piece.ends[1:], strict=False)]
        self._lines = np.array(lines, dtype=np.float64).reshape(-1, 4)
        self.taken = np.array([(x - 16, y + 4, x + 16, y + 48) for _, (x, y), _ in drawn.supports], dtype=np.float64).reshape(-1, 4)
        self._edges = (0.0, 0.0, drawn.wide, drawn.high)
        self._careful = len(drawn.pieces) + len(drawn.nodes) + len(drawn.marks) <= CROWDED

    def place(self, wide: float, high: float, places: Sequence[Point]) -> Point:
        """The middle of a box of that size among the places offered, the best liked first; it is taken from then on."""
        middles = np.array(places if self._careful else places[:1], dtype=np.float64)
        half = np.array((wide / 2, high / 2))
        boxes = np.hstack([middles - half, middles + half])
        chosen = int(np.argmin(self._costs(boxes))) if len(boxes) > 1 else 0
        self.taken = np.vstack([self.taken, boxes[chosen]])
        return float(middles[chosen][0]), float(middles[chosen][1])

    def _costs(self, boxes: Floats) -> Floats:
        left, top, right, low = self._edges
        outside = (boxes[:, 0] < left) | (boxes[:, 1] < top) | (boxes[:, 2] > right) | (boxes[:, 3] > low)
        covered = _shared(boxes, self.taken).sum(1) + _ON_LINES * _crossed(boxes, self._lines).sum(1)
        costs: Floats = covered + _OFF_SHEET * outside + _LATER * np.arange(len(boxes))
        return costs


def labelled(drawn: Drawing, sheet: Sheet, words: Callable[[Piece], str]) -> Iterator[tuple[Piece, str, Point, float]]:
    """Every piece with its words, the middle of them on the piece, and how wide they are."""
    for piece in drawn.pieces:
        said = words(piece)
        wide = _LETTER * len(said) + 6.0
        yield piece, said, sheet.place(wide, _TALL, [along(piece.ends, share=share) for share in _SHARES]), wide


def named(drawn: Drawing, sheet: Sheet) -> Iterator[tuple[str, Point, Point]]:
    """Every node: its name, its place, and the middle of its name."""
    for name, (x, y) in drawn.nodes:
        yield name, (x, y), sheet.place(_LETTER * len(name) + 6.0, 13.0, [(x + right, y + down) for right, down in _ABOUT])


def spots(marks: Sequence[Mark], sheet: Sheet) -> Iterator[Spot]:
    """The numbers of what was found, those of one place together and beside it."""
    for (x, y), together in _gathered(marks):
        numbers = list(dict.fromkeys(mark.number for mark in together))
        words = ", ".join(map(str, numbers[:MOST_NUMBERS])) + ("…" if len(numbers) > MOST_NUMBERS else "")
        wide = max(18.0, 10.0 + 6.4 * len(words))
        set_at = sheet.place(wide + 2.0, 20.0, [(x + right * (0.6 + wide / 45.0), y + down) for right, down in _RINGS])
        yield Spot((x, y), set_at, wide, words, together[0].worst)


def _gathered(marks: Sequence[Mark]) -> list[tuple[Point, list[Mark]]]:
    """Marks whose numbers would lie on one another, by the place of the first; the gravest stands first."""
    places: list[tuple[Point, list[Mark]]] = []
    for mark in marks:
        beside = next((together for at, together in places if math.dist(at, mark.at) < 16.0), None)
        if beside is None:
            places.append((mark.at, [mark]))
        else:
            beside.append(mark)
    return places


def _shared(boxes: Floats, others: Floats) -> Floats:
    """Area each box shares with each of the others."""
    sides = np.minimum(boxes[:, None, 2:], others[None, :, 2:]) - np.maximum(boxes[:, None, :2], others[None, :, :2])
    areas: Floats = np.prod(np.maximum(sides, 0.0), axis=2)
    return areas


def _crossed(boxes: Floats, lines: Floats) -> Floats:
    """Length of each line inside each box: what is left of it between the four edges."""
    start, run = lines[None, :, :2], lines[None, :, 2:] - lines[None, :, :2]
    with np.errstate(divide="ignore", invalid="ignore"):
        near, far = (boxes[:, None, :2] - start) / run, (boxes[:, None, 2:] - start) / run
    flat = run == 0.0
    within = (boxes[:, None, :2] <= start) & (start <= boxes[:, None, 2:])
    enters = np.where(flat, np.where(within, 0.0, np.inf), np.minimum(near, far)).max(2)
    leaves = np.where(flat, np.where(within, 1.0, -np.inf), np.maximum(near, far)).min(2)
    shares = np.maximum(np.minimum(leaves, 1.0) - np.maximum(enters, 0.0), 0.0)
    lengths: Floats = shares * np.hypot(run[..., 0], run[..., 1])
    return lengths
