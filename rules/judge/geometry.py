"""Lengths, bays and slopes of the pieces, from the nodes as given. Millimetres, radians."""

from __future__ import annotations

import math
from collections import Counter
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
    uses = _uses(design)
    return Geometry(xy, at, tuple(_line(design, xy, at, uses, index) for index in range(len(design.members))))


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


def _line(design: Design, xy: NDArray[np.float64], at: dict[str, int], uses: dict[str, int], index: int) -> Line:
    member = design.members[index]
    points = xy[[at[node] for node in member.nodes]]
    points[0] += member.start_offset_mm
    points[-1] += member.end_offset_mm
    bays = np.hypot(*(points[1:] - points[:-1]).T)
    held = [uses[node] > 1 for node in member.nodes]
    reach = points[-1] - points[0]
    length = float(np.hypot(*reach))
    return Line(
        start=(float(points[0, 0]), float(points[0, 1])),
        length=length,
        bays=tuple(float(bay) for bay in bays),
        held=tuple(first and last for first, last in pairwise(held)),
        cos=float(reach[0]) / length,
        sin=float(reach[1]) / length,
    )
