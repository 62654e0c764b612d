"""Pairs of plates on the timber they are pressed into: contact of every piece, lines between pieces, at the drawn and the worst place."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product

import shapely

from rules.judge.contact import NO_CONTACT, Contact, contact, timber
from rules.judge.framed import Frame
from rules.judge.joint_guards import with_plates
from rules.judge.links import Link, loose, tree
from rules.judge.outlines import Body, Point, bodies_at, bodies_of
from rules.library.value import Value
from rules.subject.faults import pointer
from rules.subject.joints import Joint, Plates, PlateType, Splice

NUMBERS = ("plate_edge_margin", "plate_end_margin", "plate_gap_mean", "plate_gap_most", "plate_contact_share")
"""Values of the code in force that geometry and forces at plates are made with."""


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
    links = tree(bodies, placed) if told else loose(range(1, len(bodies)), placed)
    pieces = [timber(bodies, i, margins, links) if told else None for i in range(len(bodies))]
    contacts = tuple(tuple(contact(piece, plate) if piece else NO_CONTACT for plate in placed) for piece in pieces)
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
