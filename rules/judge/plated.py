"""Pairs of plates on the timber they are pressed into: contact of every piece, lines between pieces, at the drawn and the worst place."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

import shapely

from rules.judge.contact import NO_CONTACT, Contact, contact, timber
from rules.judge.framed import Frame
from rules.judge.hanging import Hold, holds
from rules.judge.joint_guards import with_plates
from rules.judge.links import Link, loose, tree
from rules.judge.outlines import Body, Point, bodies_at, bodies_of, some_of
from rules.judge.shared import ALONE, Share, shares
from rules.library.value import Value
from rules.subject.faults import pointer
from rules.subject.joints import Joint, Plates, PlateType, Splice

Shift = tuple[float, float, float]
"""How far off its drawn place a plate sits: mm along and across itself, and rad turned."""
NUMBERS = ("plate_edge_margin", "plate_end_margin", "plate_gap_mean", "plate_gap_most", "plate_contact_share")
"""Values of the code in force that geometry and forces at plates are made with."""


@dataclass(frozen=True)
class Plated:
    """One joint or splice. index, part: its place in the document; bodies: the pieces it holds; everyone: all that meet there; behind: of every
    body those of everyone that hang on it beyond these plates. shifts: how its plates may sit, the drawn way first; contacts: by body,
    then by shift; links: a tree over the bodies. told: every cut line, and what these plates pass, can be told. share: what they take of it."""

    id: str
    node: str | None
    part: str
    index: int
    plates: Plates
    type: PlateType
    direction: float
    bodies: tuple[Body, ...]
    everyone: tuple[Body, ...]
    behind: tuple[tuple[int, ...], ...]
    shifts: tuple[Shift, ...]
    contacts: tuple[tuple[Contact, ...], ...]
    links: tuple[Link, ...]
    touches: bool
    told: bool
    share: Share = ALONE

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
    design, values, joined = frame.settled.design, frame.selection.values, list(with_plates(frame.settled.design))
    if not joined or not all(name in values for name in NUMBERS):
        return ()
    types = {each.id: each for each in design.plate_types}
    held = holds(design)
    made = [
        _at_node(frame, each, index, types[plates.plate_type], held[each.id])
        if isinstance(each, Joint)
        else _in_a_piece(frame, each, index, types[plates.plate_type])
        for part, index, each, plates in joined
    ]
    return tuple(_sharing(plated, made, held) for plated in made)


def _at_node(frame: Frame, joint: Joint, index: int, type_: PlateType, hold: Hold) -> Plated:
    assert joint.plates is not None
    everyone, told = bodies_at(frame, joint.node)
    place = {frame.settled.design.members[body.member].id: i for i, body in enumerate(everyone)}
    bodies = some_of(everyone, [place[name] for name in hold.pieces])
    behind = tuple(tuple(place[name] for name in (names if hold.is_told else names[:1])) for names in hold.behind)
    blank = Plated(joint.id, joint.node, "joints", index, joint.plates, type_, math.radians(joint.plates.angle_deg), bodies, everyone, behind, (), (), (), False, told and hold.is_told)  # fmt: skip
    return _pressed_in(frame, blank, joint.plates.offset_mm)


def _in_a_piece(frame: Frame, splice: Splice, index: int, type_: PlateType) -> Plated:
    bodies = bodies_of(frame, splice)
    line = frame.geometry.lines[bodies[0].member]
    (a, b), c, s = splice.plates.offset_mm, line.cos, line.sin
    direction = math.radians(splice.plates.angle_deg) + math.atan2(s, c)
    blank = Plated(
        splice.id, None, "splices", index, splice.plates, type_, direction, bodies, bodies, ((0,), (1,)), (), (), (), False, True
    )
    return _pressed_in(frame, blank, (a * c - b * s, a * s + b * c))


def _pressed_in(frame: Frame, plated: Plated, middle: Point) -> Plated:
    """The same with where its plates may sit, and what they hold there."""
    values, plates = frame.selection.values, plated.plates
    shifts = _shifts(plates)
    placed = [rectangle(plates, middle, plated.direction, shift) for shift in shifts]
    margins = (number(values, "plate_edge_margin"), number(values, "plate_end_margin") * plated.type.thickness_mm)
    links = tree(plated.bodies, placed) if plated.told else loose(range(1, len(plated.bodies)), placed)
    pieces = [timber(plated.bodies, i, margins, links) if plated.told else None for i in range(len(plated.bodies))]
    contacts = tuple(tuple(contact(piece, plate) if piece else NO_CONTACT for plate in placed) for piece in pieces)
    return replace(plated, shifts=shifts, contacts=contacts, links=links, touches=_touches(plates, values))


def _sharing(plated: Plated, made: Sequence[Plated], held: Mapping[str, Hold]) -> Plated:
    """The same with what it takes of the force where others hold the same two pieces."""
    if plated.id not in held or len(held[plated.id].alike) == 1:
        return plated
    alike = [each for each in made if each.id in held[plated.id].alike]
    told = len(alike) == len(held[plated.id].alike)  # one that is judged elsewhere takes nobody knows what
    found = shares([[contacts[0] for contacts in each.contacts] for each in alike], told and len({each.type.id for each in alike}) == 1)
    own = found[alike.index(plated)]
    return replace(plated, share=own) if own.part > 0.0 else _untold(plated)


def _untold(plated: Plated) -> Plated:
    """The same where nobody can tell what it passes: with the whole force, and nothing known of its hold."""
    unknown = tuple((NO_CONTACT,) * len(plated.shifts) for _ in plated.bodies)
    return replace(plated, contacts=unknown, links=loose(range(1, len(plated.bodies)), plated.shifts), told=False)


def number(values: Mapping[str, Value], name: str) -> float:
    """A plain number of the code in force."""
    found = values[name].number
    assert isinstance(found, (int, float))
    return float(found)


def _touches(plates: Plates, values: Mapping[str, Value]) -> bool:
    """Whether contact between the pieces may be counted on: promised, and tight enough."""
    gaps = plates.gaps
    return gaps is not None and gaps.mean_mm <= number(values, "plate_gap_mean") and gaps.most_mm <= number(values, "plate_gap_most")


def _shifts(plates: Plates) -> tuple[Shift, ...]:
    """As drawn, and off by the tolerance along and across, all four ways, turned either way."""
    off, turn = plates.placing_tolerance_mm or 0.0, math.radians(plates.turning_tolerance_deg or 0.0)
    ways = [(x * off + 0.0, y * off + 0.0, z * turn + 0.0) for x, y, z in product((1.0, -1.0), repeat=3)]
    return tuple(dict.fromkeys(((0.0, 0.0, 0.0), *ways)))


def rectangle(plates: Plates, middle: Point, direction: float, shift: Shift = (0.0, 0.0, 0.0)) -> shapely.Polygon:
    """What one plate covers: its middle off by a shift along and across it, and turned there. direction: rad."""
    c, s = math.cos(direction), math.sin(direction)
    x, y = middle[0] + shift[0] * c - shift[1] * s, middle[1] + shift[0] * s + shift[1] * c
    c, s = math.cos(direction + shift[2]), math.sin(direction + shift[2])
    half = [(a * plates.length_mm / 2.0, b * plates.width_mm / 2.0) for a, b in ((1, 1), (-1, 1), (-1, -1), (1, -1))]
    return shapely.Polygon([(x + a * c - b * s, y + a * s + b * c) for a, b in half])
