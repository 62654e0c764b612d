"""Givens of holes and notches at every station: what is left of the section there, and notches over a bearing.

A cut speaks at the stations inside it and at the next ones on both sides, so that nothing between stations is missed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rules.judge.framed import Frame
from rules.judge.properties import named
from rules.library.given import Given
from rules.subject.frame import Cut, Member, Rectangle

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Place:
    """One cut as its piece feels it. first, last: its ends along the piece; reach: from the bearing's middle to the farther inner
    corner of a notch over a bearing, None elsewhere."""

    cut: Cut
    notch: bool
    first: float
    last: float
    reach: float | None = None


def cut_givens(frame: Frame) -> dict[str, Given]:
    """Of every station; where nothing is cut the section is whole."""
    layout, members = frame.response.layout, frame.settled.design.members
    count = len(layout.at)
    depth, length, reach, taper = np.zeros(count), np.zeros(count), np.full(count, math.nan), np.zeros(count)
    notched, over, upper, hole, odd = (np.zeros(count, dtype=np.bool_) for _ in range(5))
    for index, member in enumerate(members):
        if not (member.holes or member.notches):
            continue
        places = layout.slices[index]
        known = list(_places(frame, index))
        if not _clear(known, member):
            odd[places] = True
            continue
        for place in known:
            at = places.start + np.flatnonzero(_near(layout.at[places], place))
            depth[at], length[at] = place.cut.depth_mm, place.last - place.first
            hole[at], notched[at] = not place.notch, place.notch
            upper[at] = place.cut.face == "upper"
            taper[at] = place.cut.taper or 0.0
            if place.reach is not None:
                over[at], reach[at] = True, place.reach
    return named(
        Given("cut_depth", "d", "mm", "depth of the cut", depth),
        Given("cut_length", "l", "mm", "length of the cut along the piece; of a hole its diameter", length),
        Given("is_hole", "hole", "", "a hole on the axis", hole),
        Given("is_notch", "notch", "", "a notch in the upper or lower face", notched),
        Given("is_notch_over_bearing", "over bearing", "", "a notch over a bearing or within a depth of one", over),
        Given("is_upper_notch", "upper", "", "cut from the upper face", upper),
        Given("notch_reach", "x", "mm", "from the middle of the bearing to the notch's inner corner", reach),
        Given("notch_taper", "i", "1", "the notch runs out at 1:i", taper),
        Given("is_odd_cut", "not covered", "", "cuts that no rule here covers", odd),
    )


def _places(frame: Frame, index: int) -> Iterator[_Place]:
    member = frame.settled.design.members[index]
    for cut in member.holes:
        yield _Place(cut, False, cut.at_mm - cut.depth_mm / 2.0, cut.at_mm + cut.depth_mm / 2.0)
    for cut in member.notches:
        half = (cut.length_mm or 0.0) / 2.0
        yield _Place(cut, True, cut.at_mm - half, cut.at_mm + half, _reach(frame, index, cut.at_mm - half, cut.at_mm + half))


def _clear(places: list[_Place], member: Member) -> bool:
    """Whether all its cuts are of the kinds known here: whole descriptions, a depth apart or more, in a rectangle."""
    if not isinstance(member.section, Rectangle):
        return False
    ordered = sorted(places, key=lambda place: place.first)
    apart = all(b.first - a.last >= member.section.h_mm for a, b in pairwise(ordered))
    return apart and all(_described(place) for place in places)


def _described(place: _Place) -> bool:
    if not place.notch:
        return place.cut.face is None
    return place.cut.face in ("upper", "lower") and place.cut.length_mm is not None


def _near(at: Floats, place: _Place) -> NDArray[np.bool_]:
    """The stations inside the cut, and the next beyond its ends."""
    before, after = at[at <= place.first], at[at >= place.last]
    first = before.max() if len(before) else at.min()
    last = after.min() if len(after) else at.max()
    return np.asarray((at >= first) & (at <= last), dtype=np.bool_)


def _reach(frame: Frame, index: int, first: float, last: float) -> float | None:
    """mm from the middle of the bearing to the farther inner corner; None for a notch more than a depth away from any bearing."""
    member, line = frame.settled.design.members[index], frame.geometry.lines[index]
    depth = member.section.h_mm if isinstance(member.section, Rectangle) else 0.0
    bearings = [at for at in bearings_along(frame, index) if first - depth <= at <= last + depth]
    corners = [corner for corner in (first, last) if 1.0 < corner < line.length - 1.0]
    return max((abs(corner - at) for corner in corners for at in bearings), default=None)


def bearings_along(frame: Frame, index: int) -> Iterator[float]:
    """Where the piece bears, along it from its first node."""
    member, line = frame.settled.design.members[index], frame.geometry.lines[index]
    for support in frame.settled.design.supports:
        if support.node in member.nodes:
            x, y = frame.geometry.xy[frame.geometry.at[support.node]]
            aside = support.seat.offset_mm[0] if support.seat else 0.0
            yield (x - line.start[0] + aside) * line.cos + (y - line.start[1]) * line.sin
