"""Lengths, bays and slopes of the pieces, from the nodes as given. Millimetres, radians."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain, pairwise

import numpy as np
from numpy.typing import NDArray

from rules.subject.design import Design


@dataclass(frozen=True, slots=True)
class Line:
    """One piece as a line. bays: length of each bay; held: whether each bay ends at both sides in another piece or a support;
    cos, sin: direction from its first node to its last; start: its first point."""

    start: tuple[float, float]
    length: float
    bays: tuple[float, ...]
    held: tuple[bool, ...]
    cos: float
    sin: float

    @property
    def slope(self) -> float:
        """Angle to the horizontal, 0 to π/2."""
        return math.atan2(abs(self.sin), abs(self.cos))


@dataclass(frozen=True, slots=True)
class Geometry:
    """The frame as lines. xy: (nodes, 2); at: index of each node by id; lines: one per member."""

    xy: NDArray[np.float64]
    at: dict[str, int]
    lines: tuple[Line, ...]


def geometry(design: Design) -> Geometry:
    """Measure the frame; the document has been found consistent before."""
    xy = np.array([(node.x_mm, node.y_mm) for node in design.nodes], dtype=np.float64)
    at = {node.id: index for index, node in enumerate(design.nodes)}
    return Geometry(xy, at, tuple(_lines(design, xy, at)))


def meeting(design: Design) -> frozenset[str]:
    """The nodes at which several pieces meet."""
    count = Counter(chain.from_iterable(set(member.nodes) for member in design.members))
    return frozenset(node for node, pieces in count.items() if pieces > 1)


def _uses(design: Design) -> dict[str, int]:
    """How many pieces and supports meet at each node."""
    count = {node.id: 0 for node in design.nodes}
    for member in design.members:
        for node in member.nodes:
            count[node] += 1
    for support in design.supports:
        count[support.node] += 1
    return count


def _lines(design: Design, xy: NDArray[np.float64], at: dict[str, int]) -> Iterator[Line]:
    """All pieces measured together, since each alone is a matter of a few points."""
    uses, members = _uses(design), design.members
    past = np.cumsum([len(member.nodes) for member in members])
    firsts, lasts = [0, *past[:-1].tolist()], (past - 1).tolist()
    points = xy[[at[node] for member in members for node in member.nodes]]
    points[firsts] += [member.start_offset_mm for member in members]
    points[lasts] += [member.end_offset_mm for member in members]
    reach, starts = points[lasts] - points[firsts], points[firsts].tolist()
    bays, lengths = (np.hypot(each[:, 0], each[:, 1]).tolist() for each in (points[1:] - points[:-1], reach))
    for member, first, last, start, length, (x, y) in zip(members, firsts, lasts, starts, lengths, reach.tolist(), strict=True):
        held = tuple(uses[one] > 1 and uses[other] > 1 for one, other in pairwise(member.nodes))
        yield Line((start[0], start[1]), length, tuple(bays[first:last]), held, x / length, y / length)
