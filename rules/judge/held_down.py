"""Givens of what carries and holds down every support: straps, clips and hangers, by what is declared of them."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from rules.judge.fastened import STRAPS, fastener_givens
from rules.judge.fixing import Fixing
from rules.judge.strengths import strength_givens, usable
from rules.library.given import Given
from rules.subject.design import Design
from rules.subject.frame import Rectangle, Support
from rules.subject.holding import Hanger, Strap, Strength
from rules.subject.settled import Settled

HOLDING_DOWN_ASK = (
    "Which strap or clip holds this bearing down, what does its maker declare it to carry, and how many bearings does one hold?"
)
AND_BELOW = "An engineer must check the wall below. (supports.held_down_by)"
HANGER_ASK = "Which hanger is it, what does its maker declare it to carry downwards, and is that for one or for a pair? (hangers)"


def hanger_at(design: Design) -> list[Hanger | None]:
    """The hanger given for each support."""
    given = {hanger.support: hanger for hanger in design.hangers}
    return [given.get(support.id) for support in design.supports]


def held_down_givens(settled: Settled) -> tuple[Given, ...]:
    """Of every support. What holds it down is its strap; without one, its hanger."""
    design = settled.design
    hangers = hanger_at(design)
    pairs = list(zip(design.supports, hangers, strict=True))
    straps = [_strap(support.held_down_by) if support.held_down_by else _up(hanger) for support, hanger in pairs]
    shares = np.array([_bearings(design, place, hanger) for place, hanger in enumerate(hangers)])
    hung = [support.seat is not None and support.seat.on == "hanger" for support in design.supports]
    plain = [1000.0 * each.kn if each and each.kn is not None and usable(each) and each.basis == "design" else math.nan for each in straps]
    ask = f"{HOLDING_DOWN_ASK} {AND_BELOW}"
    return (
        Given("hold_down_capacity", "R_d", "N", "declared design capacity of the holding-down, a bearing", np.array(plain) / shares, ask),
        *strength_givens("hold_down", "R", "what holds the bearing down carries", ask, straps),
        Given("bearings_held", "bearings", "1", "bearings alike that one strap holds", shares, ask),
        Given("in_hanger", "hung", "", "sits in a hanger", np.array(hung, dtype=np.bool_)),
        *strength_givens("hanger", "R", "what the hanger carries downwards", HANGER_ASK, [_down(hanger) for hanger in hangers]),
        Given(
            "hung_on_top",
            "on top",
            "",
            "a hanger hooked over the top of what carries it",
            np.array([_on_top(hanger) for hanger in hangers]),
        ),
        Given("strapped", "strap", "", "the fasteners are those of a strap", np.array([_fastens(each) for each in design.supports])),
        Given(
            "is_held_apart", "held apart", "", "a strap holds it down that is declared", np.array([_declared(e) for e in design.supports])
        ),
        *fastener_givens([_fixing(settled, place, hanger) for place, hanger in enumerate(hangers)], STRAPS),
    )


def _fixing(settled: Settled, place: int, hanger: Hanger | None) -> Fixing:
    """The fasteners of the strap into the piece, or into the plate where it holds several; without them, of the hanger into what carries it."""
    support, index = settled.design.supports[place], settled.seat_members[place]
    strap = support.held_down_by
    if strap and strap.fasteners and strap.bearings == 1:
        member = None if index is None else settled.design.members[index]
        wide, deep = (
            (member.section.b_mm * member.plies, member.section.h_mm)
            if member and isinstance(member.section, Rectangle)
            else (math.nan, math.nan)
        )
        point = (None if index is None else settled.materials[index],)
        return Fixing(strap.fasteners, room_mm=wide, crosswise_mm=deep, point=point, needs_plate=True)
    section = support.seat.section if support.seat else None
    room, deep = (min(section.b_mm, section.h_mm), section.h_mm) if section else (math.nan, math.nan)
    fasteners = strap.fasteners if strap and strap.fasteners else hanger.fasteners if hanger else None
    return Fixing(fasteners, room_mm=room, crosswise_mm=deep, point=(settled.seat_materials[place],), needs_plate=True, outside=True)


def _on_top(hanger: Hanger | None) -> bool:
    return hanger is not None and hanger.fixed == "top"


def _fastens(support: Support) -> bool:
    return support.held_down_by is not None and support.held_down_by.fasteners is not None


def _declared(support: Support) -> bool:
    return support.held_down_by is not None and support.held_down_by.fasteners is None


def _strap(strap: Strap) -> Strength | None:
    return strap.rest_capacity if strap.fasteners else strap.capacity


def _down(hanger: Hanger | None) -> Strength | None:
    return _each(hanger, hanger.rest_down if hanger.fasteners else hanger.down) if hanger else None


def _up(hanger: Hanger | None) -> Strength | None:
    return _each(hanger, hanger.rest_up if hanger.fasteners else hanger.up) if hanger else None


def _each(hanger: Hanger, strength: Strength | None) -> Strength | None:
    """What one hanger carries; None where it is not said whether the figure is for one or for a pair."""
    if strength is None or strength.kn is None or hanger.declared_per is None:
        return None
    return strength if hanger.declared_per == "hanger" else replace(strength, kn=strength.kn / 2.0)


def _bearings(design: Design, place: int, hanger: Hanger | None) -> float:
    """How many bearings share what holds this one down; not a number where nobody says."""
    strap = design.supports[place].held_down_by
    if strap is None:
        return 1.0 if hanger else math.nan
    return math.nan if strap.bearings is None else float(strap.bearings)
