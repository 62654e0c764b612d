"""Givens of every support: the piece that bears on it, and the timber underneath."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rules.judge.framed import Frame
from rules.judge.held_down import held_down_givens
from rules.judge.properties import kind_of, material_givens, named
from rules.library.given import Given
from rules.library.labels import Labels
from rules.subject.design import ROOF_TYPES, Design
from rules.subject.frame import Member, Rectangle, Seat, Support


def support_givens(frame: Frame) -> dict[str, Given]:
    """The piece that bears on each support, and how."""
    settled = frame.settled
    design = settled.design
    members = [None if i is None else design.members[i] for i in settled.seat_members]
    materials = [None if i is None else settled.materials[i] for i in settled.seat_members]
    lines = [None if i is None else frame.geometry.lines[i] for i in settled.seat_members]
    index = np.arange(len(design.supports))
    cos = np.array([abs(line.cos) if line else 1.0 for line in lines])
    holding_x = sum("x" in support.holds or support.springs.x_kn_per_mm is not None for support in design.supports)
    shares = [holding_x > 1 and design.component_type in ROOF_TYPES and "x" in s.holds and s.thrust_by is None for s in design.supports]
    lengths = bearing_lengths(design)
    widths = [_contact_width(support, member) for support, member in zip(design.supports, members, strict=True)]
    goes_on = [2.0 if _goes_on(frame, i) else 1.0 for i in range(len(design.supports))]
    return material_givens(frame.selection.reference, tuple(materials), tuple(members), index) | named(
        Given(
            "bearing_length",
            "l",
            "mm",
            "length of the bearing along the span",
            lengths,
            "How long is the bearing? (supports.seat.length_mm)",
        ),
        Given("contact_width", "b", "mm", "width in contact", np.array(widths), "How wide is the contact? (supports.seat.width_mm)"),
        Given("timber_goes_on", "sides", "1", "sides on which the piece goes on beyond the bearing", np.array(goes_on)),
        Given("sin_to_grain", "sin α", "1", "force against the grain of the piece", cos),
        Given("cos_to_grain", "cos α", "1", "force along the grain of the piece", np.sqrt(np.maximum(1.0 - cos**2, 0.0))),
        Given("shares_thrust", "shared", "", "one of several bearings held sideways", np.array(shares, dtype=np.bool_)),
        Given("v_before", "V_1", "N", "shear force in the piece before the bearing", 0.0),
        Given("v_after", "V_2", "N", "shear force in the piece beyond the bearing", 0.0),
        *held_down_givens(settled),
    )


ENOUGH_BEYOND_MM = 76.2
"""Timber beyond a bearing that helps it carry: three inches, the most that any code here asks for (NDS 3.10.4)."""


def _goes_on(frame: Frame, place: int) -> bool:
    """Whether the piece goes on beyond both ends of the bearing, far enough to count."""
    support, index = frame.settled.design.supports[place], frame.settled.seat_members[place]
    if index is None or support.node not in frame.settled.design.members[index].nodes[1:-1]:
        return False
    line, seat, at = frame.geometry.lines[index], support.seat, place_along(frame, support, index)
    half = (seat.length_mm or 0.0) / 2.0 if seat else 0.0
    return bool(min(at, line.length - at) - half >= ENOUGH_BEYOND_MM)


def place_along(frame: Frame, support: Support, index: int) -> float:
    """Where the middle of a bearing lies along this piece, mm from its first node; negative before it."""
    line, aside = frame.geometry.lines[index], support.seat.offset_mm[0] if support.seat else 0.0
    x, y = frame.geometry.xy[frame.geometry.at[support.node]]
    return float((x - line.start[0] + aside) * line.cos + (y - line.start[1]) * line.sin)


def seat_givens(frame: Frame) -> dict[str, Given]:
    """The timber underneath each support: loaded across its grain, its contact as long as the piece above is wide."""
    settled = frame.settled
    design = settled.design
    members = [None if i is None else design.members[i] for i in settled.seat_members]
    widths = [_contact_width(support, member) for support, member in zip(design.supports, members, strict=True)]
    count = len(design.supports)
    timber = [s.seat is not None and s.seat.on in ("wall-plate", "beam", None) for s in design.supports]
    given = material_givens(frame.selection.reference, settled.seat_materials, (None,) * count, np.arange(count))
    given["is_timber"] = Given("is_timber", "timber", "", "bears on timber", np.array(timber))
    given["kind"] = Given("kind", "material", "", "kind of material", Labels.of([kind_of(m) for m in settled.seat_materials]), SEAT_ASK)
    return given | named(
        Given(
            "bearing_length",
            "l",
            "mm",
            "contact along the grain of the timber underneath",
            np.array(widths),
            "How wide is the contact? (supports.seat.width_mm)",
        ),
        Given(
            "contact_width",
            "b",
            "mm",
            "contact across the grain of the timber underneath",
            bearing_lengths(design),
            "How long is the bearing? (supports.seat.length_mm)",
        ),
        Given("timber_goes_on", "sides", "1", "sides on which the timber underneath goes on", np.full(count, 2.0)),
        Given("sin_to_grain", "sin α", "1", "force across the grain", np.ones(count)),
        Given("cos_to_grain", "cos α", "1", "force along the grain", np.zeros(count)),
    )


SEAT_ASK = "What is underneath, and of which grade where it is timber? (supports.seat.on, supports.seat.grade)"


def bearing_lengths(design: Design) -> NDArray[np.float64]:
    """Length of every bearing: as found on site where it was measured, never more than specified or than is there; NaN where nobody says."""
    found = {each.support: each.bearing_mm for each in design.as_built.at_supports} if design.as_built else {}
    return np.array([_length(support.seat, found.get(support.id)) for support in design.supports])


def _length(seat: Seat | None, found: float | None) -> float:
    stated = _shorter(seat.length_mm if seat else None, found)
    return stated if math.isnan(stated) else min(stated, _across(seat))


def _across(seat: Seat | None) -> float:
    """mm: how wide the timber underneath is: a plate lies flat, a beam stands."""
    if seat is None or seat.section is None or seat.on not in ("wall-plate", "beam"):
        return math.inf
    return max(seat.section.b_mm, seat.section.h_mm) if seat.on == "wall-plate" else seat.section.b_mm


def _shorter(*lengths: float | None) -> float:
    return min((each for each in lengths if each is not None), default=math.nan)


def _contact_width(support: Support, member: Member | None) -> float:
    own = member.section.b_mm * member.plies if member is not None and isinstance(member.section, Rectangle) else math.nan
    stated = support.seat.width_mm if support.seat else None
    return own if stated is None else float(np.fmin(own, stated))
