"""Pieces of timber at a joint as outlines: who keeps his, and along which lines the others are cut. mm, from the node; shapely polygons.

Which piece is cut to which: one that runs through keeps its outline; then those named in the joint's cut order, then chords, then webs.
Of two alike each is cut along the line that halves the angle between them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from rules.judge.framed import Frame
from rules.judge.stations import INNER
from rules.subject.design import Design
from rules.subject.frame import Rectangle
from rules.subject.joints import Splice

Point = tuple[float, float]
PARALLEL = math.sin(math.radians(5.0))
"""Pieces that meet at less than this angle lie along each other: no cut line between them can be told."""
FAR = 1e4
"""mm; beyond any plate."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A line where timber ends. point: on it; inward: unit normal to the side that stays; against: index of the body it is cut to,
    None for an end that meets nothing."""

    point: Point
    inward: Point
    against: int | None = None

    def kept(self, moved: float = 0.0) -> shapely.Polygon:
        """The side that stays, as far as matters, its border moved inwards."""
        (x, y), (a, b) = self.point, self.inward
        x, y = x + moved * a, y + moved * b
        along = (-b * FAR, a * FAR)
        corners = [(x - along[0], y - along[1]), (x + along[0], y + along[1])]
        return shapely.Polygon([*corners, *((px + a * FAR, py + b * FAR) for px, py in reversed(corners))])

    def reach(self, corners: NDArray[np.float64]) -> float:
        """How far a shape with these corners goes beyond the line, to the side that stays, mm."""
        return float(((corners - np.asarray(self.point)) @ np.asarray(self.inward)).max())


@dataclass(frozen=True, slots=True)
class Body:
    """One piece at a joint, or one side of a splice. member: its index; origin: the joint's on its axis; grain: unit vector along it, away
    from the joint where it ends there; behind, ahead: mm of timber from the origin; depth: NaN where it is no rectangle."""

    member: int
    origin: Point
    grain: Point
    behind: float
    ahead: float
    depth: float
    through: bool
    rank: tuple[int, int]
    at: float
    cuts: tuple[Cut, ...] = ()

    def outline(self, edge: float = 0.0, end: float = 0.0) -> shapely.Polygon:
        """The timber, less a margin square to its edges and one along the grain at its ends, mm."""
        shape = self._strip(edge)
        for cut in self.cuts:
            slant = abs(cut.inward[0] * self.grain[0] + cut.inward[1] * self.grain[1])
            shape = shape.intersection(cut.kept(max(edge, end * slant)))
        return shape

    def _strip(self, edge: float) -> shapely.Polygon:
        (x, y), (c, s) = self.origin, self.grain
        half = self.depth / 2.0 - edge
        if not half > 0.0:
            return shapely.Polygon()
        ends = [(x - c * self.behind, y - s * self.behind), (x + c * self.ahead, y + s * self.ahead)]
        first = [(px - s * half, py + c * half) for px, py in ends]
        return shapely.Polygon([*first, *((px + s * half, py - c * half) for px, py in reversed(ends))])


def bodies_at(frame: Frame, node: str) -> tuple[tuple[Body, ...], bool]:
    """The pieces at a node, each cut as it is taken to be, in document order; and whether every cut can be told."""
    here = [i for i, member in enumerate(frame.settled.design.members) if node in member.nodes]
    order = _cut_order(frame.settled.design, node)
    whole = [_body(frame, node, order, index) for index in here]
    told = True
    cut: list[Body] = []
    for i, body in enumerate(whole):
        found = [_cut(whole, i, j) for j in range(len(whole)) if j != i and _yields(body, whole[j])]
        told = told and all(each is not None for each in found)
        cut.append(_trimmed(body, [each for each in found if each], whole))
    crossing = sum(body.through for body in whole) > 1
    return tuple(cut), told and not crossing and not any(math.isnan(body.depth) for body in whole)


def _cut_order(design: Design, node: str) -> tuple[str, ...]:
    joints = design.joints if isinstance(design.joints, tuple) else ()
    return next((joint.cut_order for joint in joints if joint.node == node and joint.cut_order), ())


def some_of(bodies: Sequence[Body], wanted: Sequence[int]) -> tuple[Body, ...]:
    """These of the bodies; a cut against another stays, as an end that meets nothing here."""
    place = {i: k for k, i in enumerate(wanted)}
    return tuple(
        replace(
            bodies[i], cuts=tuple(replace(cut, against=None if cut.against is None else place.get(cut.against)) for cut in bodies[i].cuts)
        )
        for i in wanted
    )


def bodies_of(frame: Frame, splice: Splice) -> tuple[Body, Body]:
    """Both sides of a splice."""
    index = next(i for i, member in enumerate(frame.settled.design.members) if member.id == splice.member)
    line, depth = frame.geometry.lines[index], _depth(frame, index)
    c, s = line.cos, line.sin
    left = Body(index, (0.0, 0.0), (-c, -s), 0.0, splice.at_mm, depth, False, (2, 0), splice.at_mm, (Cut((0.0, 0.0), (-c, -s), 1),))
    right = Body(
        index, (0.0, 0.0), (c, s), 0.0, line.length - splice.at_mm, depth, False, (2, 0), splice.at_mm, (Cut((0.0, 0.0), (c, s), 0),)
    )
    return left, right


def _depth(frame: Frame, index: int) -> float:
    section = frame.settled.design.members[index].section
    return section.h_mm if isinstance(section, Rectangle) else math.nan


def _body(frame: Frame, joined: str, order: tuple[str, ...], index: int) -> Body:
    member, line, geometry = frame.settled.design.members[index], frame.geometry.lines[index], frame.geometry
    place = member.nodes.index(joined)
    at = sum(line.bays[:place])
    last = place == len(member.nodes) - 1
    through = place > 0 and not last
    turn = -1.0 if last else 1.0
    node = geometry.xy[geometry.at[joined]]
    origin = (line.start[0] + at * line.cos - float(node[0]), line.start[1] + at * line.sin - float(node[1]))
    behind, ahead = (at, line.length - at) if through else (0.0, line.length)
    return Body(
        index, origin, (turn * line.cos, turn * line.sin), behind, ahead, _depth(frame, index), through,
        _rank(order, member.id, member.role, through), at,
    )  # fmt: skip


def _rank(order: tuple[str, ...], name: str, role: str, through: bool) -> tuple[int, int]:
    if through:
        return (0, 0)
    if name in order:
        return (1, order.index(name))
    return (3, 0) if role in INNER else (2, 0)


def _yields(body: Body, other: Body) -> bool:
    """Whether this one is cut because of the other."""
    return not body.through and body.rank >= other.rank


def _cut(bodies: Sequence[Body], i: int, j: int) -> Cut | None:
    """Where body i is cut because of body j: along the near edge of one that keeps its outline, half-way towards one alike."""
    own, other = bodies[i], bodies[j]
    cross = other.grain[0] * own.grain[1] - other.grain[1] * own.grain[0]
    opposed = own.grain[0] * other.grain[0] + own.grain[1] * other.grain[1] < 0.0
    if abs(cross) < PARALLEL and (not opposed or other.through):
        return None
    if own.rank == other.rank or abs(cross) < PARALLEL:
        away = (own.grain[0] - other.grain[0], own.grain[1] - other.grain[1])
        size = math.hypot(*away)
        middle = ((own.origin[0] + other.origin[0]) / 2.0, (own.origin[1] + other.origin[1]) / 2.0)
        return Cut(middle, (away[0] / size, away[1] / size), j)
    side = math.copysign(1.0, cross)
    normal = (-side * other.grain[1], side * other.grain[0])
    half = other.depth / 2.0
    return Cut((other.origin[0] + normal[0] * half, other.origin[1] + normal[1] * half), normal, j)


def _trimmed(body: Body, cuts: list[Cut], bodies: Sequence[Body]) -> Body:
    """The body with its cuts. Timber is taken to go on beyond the node only as far as a cut can need it, and ends square there."""
    if body.through:
        return body
    beyond = 2.0 * max((each.depth for each in bodies if each.depth > 0.0), default=0.0) if cuts else 0.0
    end = Cut((body.origin[0] - beyond * body.grain[0], body.origin[1] - beyond * body.grain[1]), body.grain)
    return Body(
        body.member, body.origin, body.grain, beyond, body.ahead, body.depth, body.through, body.rank, body.at, (*cuts, end)
    )  # fmt: skip
