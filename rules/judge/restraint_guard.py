"""Nothing holds a piece of a roof or a floor but what somebody fixes to it: every restraint relied on is among the bracing, or is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from rules.judge.along import Axis
from rules.judge.framed import Frame
from rules.judge.judgement import EngineRule, Judgement
from rules.judge.of_combinations import FORCE_FLOOR
from rules.judge.restraints import Reliance
from rules.judge.ties import floor
from rules.judge.words import amount
from rules.library.offered import UNBRACED_MOMENT, UNBRACED_RESISTANCE
from rules.library.rule import Kind
from rules.subject.design import FLOOR_TYPES, ROOF_TYPES
from rules.subject.faults import pointer

RESTRAINED = EngineRule(
    "restraints-given",
    "What the design relies on to hold a piece is among its bracing",
    "A strut that is held on paper only buckles on site: missing bracing is what goes wrong most.",
)
FIELDS = {"sideways": "out_of_plane_mm", "top": "top_edge_mm", "bottom": "bottom_edge_mm"}
KINDS = {"missing": Kind.FAIL, "open": Kind.OPEN, "declined": Kind.INFORMATIONAL}
Axes = Mapping[tuple[str, str], Axis]
UNNEEDED = "it needs no such restraint"
INSTEAD = 'List what holds it, or write "none" for the spacing and check again.'


def restrained(frame: Frame, axes: Axes) -> Iterator[Judgement]:
    """A judgement for every restraint of a roof or a floor that is relied on and not given."""
    design = frame.settled.design
    if design.component_type not in (*ROOF_TYPES, *FLOOR_TYPES):
        return
    for each in frame.reliances:
        if each.status != "given":
            yield _judgement(frame, axes, each)


def _judgement(frame: Frame, axes: Axes, relied: Reliance) -> Judgement:
    name = frame.settled.design.members[relied.member].id
    missing = relied.status == "missing"
    return Judgement(
        RESTRAINED,
        "member",
        name,
        relied.member,
        KINDS[relied.status],
        relied.side,
        asks=(relied.ask,) if relied.ask else (),
        message=f"Member {name}: the design relies on its being held ({relied.words})"
        + _because(relied)
        + (without(axes, relied) if missing else ""),
        pointer=pointer("members", relied.member, "restraint_spacing", FIELDS[relied.side]),
    )


def _because(relied: Reliance) -> str:
    if relied.status == "declined":
        return f"; the bracing is left to others, the design says: {relied.why[0]}"
    if relied.status == "missing":
        return f", and it is not: {'; '.join(relied.why)}."
    return ", and no bracing given is known to do it."


def without(axes: Axes, relied: Reliance) -> str:
    """What the piece carries when nothing holds it, against what it has to; empty where the code in force does not say."""
    found = unheld(axes, relied)
    if found is None:
        return ""
    needed, carried, combination = found
    unit = "N" if relied.side == "sideways" else "N·mm"
    what = "push" if relied.side == "sideways" else "moment"
    told = f" Without it the piece carries a {what} of {amount(carried, unit)}; {amount(needed, unit)} is needed, under {combination}"
    return f"{told}: for this {UNNEEDED}. {INSTEAD}" if carried >= needed else f"{told}."


RESISTANCES = {
    "sideways": ("n", -1.0, UNBRACED_RESISTANCE.name),
    "top": ("m", 1.0, UNBRACED_MOMENT.name),
    "bottom": ("m", 1.0, UNBRACED_MOMENT.name),
}
"""Effect, and the quantity a code pack gives for what the whole piece carries of it with nothing holding it between its ends."""


def unheld(axes: Axes, relied: Reliance) -> tuple[float, float, str] | None:
    """(needed, carried, combination) of a piece that nothing holds, where it is most used; None where that cannot be told."""
    axis = axes.get(("ultimate", "member"))
    effect, sign, name = RESISTANCES[relied.side]
    if axis is None or name not in axis.evidence.book:
        return None
    places = axis.slices[relied.member]
    force = axis.evidence[effect][:, places]
    needed = np.abs(force) if effect == "m" else np.maximum(sign * force, 0.0)
    carried = axis.whole(name)[:, places]
    with np.errstate(divide="ignore", invalid="ignore"):
        used = np.where(needed > FORCE_FLOOR, needed / carried, np.nan)
    if np.isnan(used).all():
        return None
    row, column = divmod(int(np.argmax(used >= floor(float(np.nanmax(used))))), used.shape[1])
    return float(needed[row, column]), float(carried[row, column]), axis.words(row, places.start + column)
