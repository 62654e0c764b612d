"""Whether a floor of joists shakes underfoot, EN 1995-1-1 7.3. Formulas and units: quantities/floors.py."""

from __future__ import annotations

from rules.library import DESIGN, SERVICEABILITY, Citation, Kind, Quantity, Rule, quantity
from rules.packs.eurocode_timber.formulas.brace_force import as_it_is
from rules.packs.eurocode_timber.quantities.floors import (
    FREQUENCY,
    IMPULSE,
    SHARING,
    a_limit,
    f_1,
    impulse_limit,
    impulse_velocity,
    w_1,
)

WHY = "A floor that is strong enough can still shake crockery and people; light long joists are where complaints come from."


@quantity("floor", "", says="a floor of joists")
def is_vibrating_floor(is_floor):
    return is_floor


@quantity("special study", "", says="f_1 at most 8 Hz, no dwelling, or an overhang, a spring below it, or a bay without a diagonal")
def needs_special_study(f_1, vibration_frequency, is_dwelling, is_beyond):
    return (f_1 <= vibration_frequency) | ~is_dwelling | is_beyond


@quantity("fast floor", "", says="a floor that the rules for more than 8 Hz cover")
def is_fast_floor(is_floor, needs_special_study):
    return is_floor & ~needs_special_study


@quantity("not held", "", says="the country's own way of sharing a force between joists is not held here")
def sharing_not_held(point_sharing_held):
    return point_sharing_held == 0.0


def _limited(
    part: str, title: str, demand: Quantity, limit: Quantity, cites: Citation, message: str, undecided: Quantity | None, ask: str
) -> Rule:
    return Rule(
        slug="floor-vibration",
        part=part,
        title=title,
        why=WHY,
        scope=DESIGN,
        purpose=SERVICEABILITY,
        under=("characteristic",),
        demand=demand,
        limit=limit,
        when=is_fast_floor,
        because="is no floor, or one that these rules do not cover",
        undecided=undecided,
        ask=ask,
        cites=cites,
        message=message,
        remedies=("deeper joists", "closer spacing", "a stiffer deck"),
    )


RULES = (
    Rule(
        slug="floor-vibration",
        part="frequency",
        title="The floor is quick enough for the simple rules of vibration",
        why=WHY,
        scope=DESIGN,
        purpose=SERVICEABILITY,
        under=("characteristic",),
        demand=f_1,
        limit=as_it_is,
        when=is_vibrating_floor,
        because="is no floor of joists",
        outcome=Kind.INFORMATIONAL,
        undecided=needs_special_study,
        ask="The simple rules hold for floors of dwellings above 8 Hz, on firm bearings, without overhangs or bays without a diagonal: an engineer must study this one.",
        cites=FREQUENCY,
        message="The floor's lowest natural frequency is {demand}, with permanent load alone.",
    ),
    _limited(
        "point-load",
        "The floor gives little under one person's step",
        w_1,
        a_limit,
        SHARING,
        "The floor moves {demand} under a force of 1 kN; {limit} is the limit.",
        sharing_not_held,
        "The country's own rule for the movement under 1 kN is not held here: an engineer must check it.",
    ),
    _limited(
        "impulse",
        "The floor does not jump after a blow",
        impulse_velocity,
        impulse_limit,
        IMPULSE,
        "After a unit impulse the floor moves at {demand}; {limit} is the limit.",
        None,
        "",
    ),
)
