"""Openings for services in joists of chords and webs: bays between two webs that no diagonal crosses, where the chords alone carry the shear."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from rules.judge.geometry import Geometry
from rules.subject.design import Design
from rules.subject.frame import Member

CHORDS = ("top-chord", "bottom-chord")
SHARE = 0.5
"""Webs whose ends stand further apart on both chords than this share of the joist's height leave an opening; nearer ones meet at a joint."""


@dataclass(frozen=True, slots=True)
class Opening:
    """From where to where the chords run free, mm in x: the shorter way on either chord. top, bottom: ids of the chords' pieces there; bearing_mm: from
    its nearer edge to the nearest bearing."""

    low: float
    high: float
    top: str
    bottom: str
    bearing_mm: float

    @property
    def length(self) -> float:
        """mm."""
        return self.high - self.low


def openings(design: Design, shape: Geometry) -> list[Opening]:
    """Every opening of an open-web joist, from left to right; none in any other component."""
    if design.component_type != "open-web-joist":
        return []
    upper, lower = ([member for member in design.members if member.role == role] for role in CHORDS)
    return list(_between(design, shape, upper, lower)) if upper and lower else []


def _between(design: Design, shape: Geometry, upper: Sequence[Member], lower: Sequence[Member]) -> Iterator[Opening]:
    webs = sorted(_webs(design, shape, _nodes(upper), _nodes(lower)))
    height = abs(shape.lines[design.members.index(upper[0])].start[1] - shape.lines[design.members.index(lower[0])].start[1])
    bearings = [_x(shape, support.node) for support in design.supports]
    for before, after in pairwise(webs):
        gaps = [(after.top - before.top, before.top, after.top), (after.foot - before.foot, before.foot, after.foot)]
        length, low, high = min(gaps)
        if length > SHARE * height:
            nearest = min((max(low - x, x - high, 0.0) for x in bearings), default=0.0)
            at = (low + high) / 2.0
            yield Opening(low, high, _reaching(shape, upper, at), _reaching(shape, lower, at), nearest)


def _nodes(pieces: Sequence[Member]) -> frozenset[str]:
    return frozenset(node for piece in pieces for node in piece.nodes)


def _reaching(shape: Geometry, pieces: Sequence[Member], x: float) -> str:
    """The chord's piece that passes this place, or begins or ends nearest to it."""
    ends = [sorted((_x(shape, piece.nodes[0]), _x(shape, piece.nodes[-1]))) for piece in pieces]
    away = [max(first - x, x - last, 0.0) for first, last in ends]
    return pieces[away.index(min(away))].id


@dataclass(frozen=True, order=True, slots=True)
class _Web:
    """Where a web meets the chords, mm in x; in order along the joist."""

    middle: float
    foot: float
    top: float


def _webs(design: Design, shape: Geometry, upper: frozenset[str], lower: frozenset[str]) -> Iterator[_Web]:
    """Every piece from one chord to the other."""
    for member in design.members:
        if member.role not in CHORDS:
            above = [_x(shape, node) for node in member.nodes if node in upper]
            below = [_x(shape, node) for node in member.nodes if node in lower]
            if above and below:
                yield _Web((above[0] + below[0]) / 2.0, below[0], above[0])


def _x(shape: Geometry, node: str) -> float:
    return float(shape.xy[shape.at[node], 0])
