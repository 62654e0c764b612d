"""Pairs of plates on the timber they are pressed into: contact of every piece, lines between pieces, at the drawn and the worst place."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
import shapely
from numpy.typing import NDArray

from rules.judge.framed import Frame
from rules.judge.joint_guards import with_plates
from rules.judge.outlines import FAR, Body, Cut, Point, bodies_at, bodies_of
from rules.judge.polar import polar_modulus
from rules.library.value import Value
from rules.subject.faults import pointer
from rules.subject.joints import Joint, Plates, PlateType, Splice

Floats = NDArray[np.float64]
NUMBERS = ("plate_edge_margin", "plate_end_margin", "plate_gap_mean", "plate_gap_most", "plate_contact_share")
"""Values of the code in force that geometry and forces at plates are made with."""
TOUCH = 1e-6
"""mm by which outlines that meet are taken to overlap, so that rounding does not part them."""
SHORTEST = 0.1
"""mm of joint line below which nothing is taken to hang on it."""


@dataclass(frozen=True, slots=True)
class Contact:
    """What one plate at one place holds of one piece, mm: effective area, its middle, its polar modulus exactly and by the code's short
    form; bite: how far the plate reaches over the piece from its joint line; extents of the effective area from the axis, to the left
    and to the right of the grain, and along it; across: depth of the piece under the plate, margins included. NaN: no effective area."""

    area: float
    middle: Point
    exact: float
    short: float
    bite: float
    left: float
    right: float
    along: float
    across: float


NO_CONTACT = Contact(math.nan, (math.nan, math.nan), *[math.nan] * 7)


@dataclass(frozen=True, slots=True)
class Link:
    """A joint line through which one side of the joint hangs on the other. bodies: those on the near side, whose first is the one that is
    cut here; cut: the line, its normal pointing to that side, None where no line is covered; spans: (length, middle) at every place."""

    bodies: tuple[int, ...]
    other: int
    cut: Cut | None
    spans: tuple[tuple[float, Point], ...]


@dataclass(frozen=True)
class Plated:
    """One joint or splice. index, part: its place in the document; shifts: where its plates may sit, mm, the drawn place first; contacts:
    by body, then by shift; links: a tree over the bodies. told: every cut line can be told."""

    id: str
    node: str | None
    part: str
    index: int
    plates: Plates
    type: PlateType
    direction: float
    bodies: tuple[Body, ...]
    shifts: tuple[Point, ...]
    contacts: tuple[tuple[Contact, ...], ...]
    links: tuple[Link, ...]
    touches: bool
    told: bool

    @property
    def pointer(self) -> str:
        """Its place in the document."""
        return pointer(self.part, self.index)

    @property
    def is_splice(self) -> bool:
        """Two pieces end to end: a splice, or a node where two pieces of one line meet."""
        if len(self.bodies) != 2:
            return False
        (a, b), (c, d) = (body.grain for body in self.bodies)
        return a * c + b * d < -math.cos(math.radians(5.0))


def plated_joints(frame: Frame) -> tuple[Plated, ...]:
    """Every joint and splice of the design that has plates; none where the code in force has no numbers for them."""
    design, values = frame.settled.design, frame.selection.values
    if not all(name in values for name in NUMBERS):
        return ()
    types = {each.id: each for each in design.plate_types}
    return tuple(_plated(frame, each, part, index, types[plates.plate_type]) for part, index, each, plates in with_plates(design))


def _plated(frame: Frame, each: Joint | Splice, part: str, index: int, type_: PlateType) -> Plated:
    values = frame.selection.values
    if isinstance(each, Joint):
        bodies, told = bodies_at(frame, each)
        node, middle, turn, plates = each.node, None, 0.0, each.plates
    else:
        bodies, told = bodies_of(frame, each), True
        line = frame.geometry.lines[bodies[0].member]
        node, turn, plates = None, math.atan2(line.sin, line.cos), each.plates
        (a, b), c, s = plates.offset_mm, line.cos, line.sin
        middle = (a * c - b * s, a * s + b * c)
    assert plates is not None
    direction = math.radians(plates.angle_deg) + turn
    shifts = _shifts(plates)
    placed = [_rectangle(plates, middle or plates.offset_mm, direction, shift) for shift in shifts]
    margins = (number(values, "plate_edge_margin"), number(values, "plate_end_margin") * type_.thickness_mm)
    links = _tree(bodies, placed) if told else _loose(range(1, len(bodies)), placed)
    contacts = tuple(
        tuple(_contact(bodies, i, plate, margins, links) if told else NO_CONTACT for plate in placed) for i in range(len(bodies))
    )
    return Plated(
        each.id, node, part, index, plates, type_, direction, bodies, shifts, contacts, links,
        _touches(plates, values), told,
    )  # fmt: skip


def number(values: Mapping[str, Value], name: str) -> float:
    """A plain number of the code in force."""
    found = values[name].number
    assert isinstance(found, (int, float))
    return float(found)


def _touches(plates: Plates, values: Mapping[str, Value]) -> bool:
    """Whether contact between the pieces may be counted on: promised, and tight enough."""
    gaps = plates.gaps
    return gaps is not None and gaps.mean_mm <= number(values, "plate_gap_mean") and gaps.most_mm <= number(values, "plate_gap_most")


def _shifts(plates: Plates) -> tuple[Point, ...]:
    """As drawn, and off by the tolerance along and across, all four ways."""
    off = plates.placing_tolerance_mm
    return ((0.0, 0.0), *((x * off, y * off) for x, y in product((1.0, -1.0), repeat=2))) if off else ((0.0, 0.0),)


def _rectangle(plates: Plates, middle: Point, direction: float, shift: Point) -> shapely.Polygon:
    c, s = math.cos(direction), math.sin(direction)
    corners = [
        (shift[0] + x * plates.length_mm / 2.0, shift[1] + y * plates.width_mm / 2.0) for x, y in ((1, 1), (-1, 1), (-1, -1), (1, -1))
    ]
    return shapely.Polygon([(middle[0] + a * c - b * s, middle[1] + a * s + b * c) for a, b in corners])


def _contact(bodies: Sequence[Body], i: int, plate: shapely.Polygon, margins: tuple[float, float], links: Sequence[Link]) -> Contact:
    body = bodies[i]
    shape = plate.intersection(body.outline(*margins))
    if shape.area <= 0.0:
        return NO_CONTACT
    corners = shapely.get_coordinates(shape)[:-1]
    middle = (shape.centroid.x, shape.centroid.y)
    ahead, beside = _along_and_across(body, corners)
    under = _along_and_across(body, shapely.get_coordinates(plate.intersection(body.outline())))[1]
    return Contact(
        shape.area, middle, polar_modulus(corners, middle), _short_form(shape.area, corners), _bite(bodies, i, plate, links),
        float(beside.max()), float(-beside.min()), float(np.ptp(ahead)), float(np.ptp(under)),
    )  # fmt: skip


def _along_and_across(body: Body, corners: Floats) -> tuple[Floats, Floats]:
    """Places of corners along the grain and to the left of it, mm from the joint's place on the axis."""
    (c, s), (x, y) = body.grain, (corners - np.asarray(body.origin)).T
    return x * c + y * s, y * c - x * s


def _short_form(area: float, corners: Floats) -> float:
    """A_ef d/4 with d of a rectangle as high as the area is square to its longest side (8.48), (8.49)."""
    edges = np.roll(corners, -1, axis=0) - corners
    longest = int(np.hypot(*edges.T).argmax())
    along = edges[longest] / np.hypot(*edges[longest])
    height = np.ptp(corners[:, 1] * along[0] - corners[:, 0] * along[1])
    return float(area * np.hypot(area / height, height) / 4.0)


def _bite(bodies: Sequence[Body], i: int, plate: shapely.Polygon, links: Sequence[Link]) -> float:
    """How far the plate reaches over a piece from the nearest joint line it hangs on; NaN without any."""
    held = plate.intersection(bodies[i].outline())
    lines = [_seen(link, i) for link in links if link.cut is not None and i in (link.bodies[0], link.other)]
    return min((cut.reach(held) for cut in lines), default=math.nan) if not held.is_empty else math.nan


def _seen(link: Link, i: int) -> Cut:
    """The joint line with its normal pointing to body i."""
    assert link.cut is not None
    (a, b), own = link.cut.inward, link.bodies[0] == i
    return link.cut if own else Cut(link.cut.point, (-a, -b))


def _tree(bodies: tuple[Body, ...], placed: Sequence[shapely.Polygon]) -> tuple[Link, ...]:
    """Links that join all bodies, over the lines the plate covers most: what hangs on each is then told by equilibrium alone."""
    lines = [(i, cut, _spans(bodies, i, cut, placed)) for i, body in enumerate(bodies) for cut in body.cuts if cut.against is not None]
    lines.sort(key=lambda line: -line[2][0][0])
    group = list(range(len(bodies)))
    kept: list[tuple[int, int, Cut, tuple[tuple[float, Point], ...]]] = []
    for i, cut, spans in lines:
        assert cut.against is not None
        if spans[0][0] > SHORTEST and group[i] != group[cut.against]:
            old, new = group[i], group[cut.against]
            group = [new if each == old else each for each in group]
            kept.append((i, cut.against, cut, spans))
    links = [Link(_side(i, other, kept), other, cut, spans) for i, other, cut, spans in kept]
    return (*links, *_loose([first for first in dict.fromkeys(group) if first != group[0]], placed))


def _loose(bodies: Iterable[int], placed: Sequence[shapely.Polygon]) -> tuple[Link, ...]:
    """Links of pieces that hang on no line that is covered: of unknown length, so that what they pass stays open."""
    nothing = tuple((math.nan, (math.nan, math.nan)) for _ in placed)
    return tuple(Link((body,), 0, None, nothing) for body in bodies)


def _side(start: int, other: int, kept: Sequence[tuple[int, int, Cut, object]]) -> tuple[int, ...]:
    """All bodies that hang on `start` when its link to `other` is cut."""
    found, todo = [start], [start]
    while todo:
        here = todo.pop()
        near = [b if a == here else a for a, b, *_ in kept if here in (a, b) and {a, b} != {start, other}]
        new = [each for each in near if each not in found]
        found += new
        todo += new
    return tuple(found)


def _spans(bodies: Sequence[Body], i: int, cut: Cut, placed: Sequence[shapely.Polygon]) -> tuple[tuple[float, Point], ...]:
    """Length and middle of the joint line under every plate: where both pieces border on it."""
    (x, y), (a, b) = cut.point, cut.inward
    whole = shapely.LineString([(x + b * FAR, y - a * FAR), (x - b * FAR, y + a * FAR)])
    assert cut.against is not None
    for body in (bodies[i], bodies[cut.against]):
        whole = whole.intersection(body.outline().buffer(TOUCH, join_style="mitre"))
    return tuple(_measured(whole.intersection(plate)) for plate in placed)


def _measured(line: shapely.Geometry) -> tuple[float, Point]:
    if line.length <= 0.0:
        return 0.0, (math.nan, math.nan)
    middle = line.interpolate(0.5, normalized=True)
    return float(line.length), (middle.x, middle.y)
