"""The outline of a frame as the simplified analysis asks after it: panels, corners that point inwards, height, depth, bearings, ends."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, union_all

import solver
from rules.judge.framed import Frame
from rules.judge.properties import named
from rules.judge.stations import INNER
from rules.library.given import Given
from rules.library.later import Later
from rules.subject.design import Design
from rules.subject.frame import Member, Rectangle, Support

Floats = NDArray[np.float64]
STRAIGHT_DEG = 0.5
"""A corner that turns inwards by less is how coordinates were rounded."""


def profile_givens(frame: Frame) -> dict[str, Given]:
    """Of the whole design, mm and degrees; of bearings one number each. Only the simplified analysis asks for them."""
    design, outline = frame.settled.design, Later(lambda: _outer(_panels(frame)))
    return named(
        Given("is_triangulated", "triangles", "", "every panel of the frame is a triangle", np.array(frame.settled.triangulated)),
        _later("inward_corner", "ω", "°", "how far the sharpest corner of the outline points inwards", lambda: _inwards(outline.value)),
        _later("truss_height", "h_tot", "mm", "height of the outline", lambda: _height(outline.value)),
        _later("truss_span", "L", "mm", "distance between the outermost bearings", lambda: _between_bearings(design, frame)),
        _later("chord_depth", "h_max", "mm", "greatest depth of its outer pieces", lambda: _deepest(design)),
        _later("bearing_offset", "a_2", "mm", "from the middle of the bearing to the node", lambda: _offsets(design.supports)),
        _later("heel_length", "a_1", "mm", "length of the contact over the bearing", lambda: _contacts(frame)),
        _later("stiff_ends", "n_s", "1", "ends of pieces that are not pinned", lambda: float(sum(map(_stiff_ends, design.members)))),
        _later("end_offset", "e", "mm", "greatest distance from a node at which a piece ends", lambda: _farthest(design)),
    )


def _later(name: str, symbol: str, unit: str, what: str, value: Callable[[], Any]) -> Given:
    return Given(name, symbol, unit, what, Later(value))


def _panels(frame: Frame) -> list[Floats]:
    """(n, 2) each: the panels between the pieces."""
    xy, at = frame.geometry.xy, frame.geometry.at
    edges = [(at[a], at[b]) for member in frame.settled.design.members for a, b in pairwise(member.nodes)]
    return [xy[list(ring)] for ring in solver.panels(xy, edges)]


def _height(outer: Floats) -> float:
    return float(np.ptp(outer[:, 1])) if len(outer) else 0.0


def _deepest(design: Design) -> float:
    chords = [m.section.h_mm for m in design.members if m.role not in INNER and isinstance(m.section, Rectangle)]
    return max(chords, default=0.0)


def _farthest(design: Design) -> float:
    return max(map(_end_offset, design.members), default=0.0)


def _outer(rings: Iterable[Floats]) -> Floats:
    """(n, 2) the outline of all panels, counter-clockwise; of several apart none."""
    whole = union_all([Polygon(ring).buffer(0) for ring in rings])
    if not isinstance(whole, Polygon) or whole.is_empty:
        return np.zeros((0, 2))
    ring = np.array(whole.exterior.coords)[:-1]
    return ring if whole.exterior.is_ccw else ring[::-1]


def _inwards(outer: Floats) -> float:
    """Degrees by which the outline turns inwards where it does so most; 180 without an outline."""
    if not len(outer):
        return 180.0
    along = np.roll(outer, -1, axis=0) - outer
    turn = np.arctan2(*_turned(along, np.roll(along, -1, axis=0)))
    worst = float(np.degrees(-turn).max())
    return worst if worst > STRAIGHT_DEG else 0.0


def _turned(one: Floats, other: Floats) -> tuple[Floats, Floats]:
    return one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0], (one * other).sum(axis=1)


def _between_bearings(design: Design, frame: Frame) -> float:
    x = [float(frame.geometry.xy[frame.geometry.at[support.node], 0]) for support in design.supports]
    return max(x, default=0.0) - min(x, default=0.0)


def _offsets(supports: Iterable[Support]) -> Floats:
    return np.array([abs(support.seat.offset_mm[0]) if support.seat else 0.0 for support in supports])


def _contacts(frame: Frame) -> Floats:
    """At every bearing the length over which the deepest outer piece that meets the one lying on it stands on that; nought where none does."""
    return np.array([max(_standing_on(frame, index), default=0.0) for index in range(len(frame.settled.design.supports))])


def _standing_on(frame: Frame, support: int) -> Iterable[float]:
    design, lines = frame.settled.design, frame.geometry.lines
    lying = frame.settled.seat_members[support]
    for index, member in enumerate(design.members):
        if lying is None or index == lying or design.supports[support].node not in member.nodes or member.role in INNER:
            continue
        sine = abs(lines[index].cos * lines[lying].sin - lines[index].sin * lines[lying].cos)
        if isinstance(member.section, Rectangle) and sine > math.sin(math.radians(STRAIGHT_DEG)):
            yield member.section.h_mm / sine


def _stiff_ends(member: Member) -> int:
    return (member.start != "pinned") + (member.end != "pinned")


def _end_offset(member: Member) -> float:
    return max(math.hypot(*member.start_offset_mm), math.hypot(*member.end_offset_mm))
