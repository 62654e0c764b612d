"""Givens of what fixes items of bracing where their force leaves them, in place of what fixes them to each piece. One place an item."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from rules.judge.braces import FIRM_ASK, items
from rules.judge.fastened import ANCHORS, fastener_givens
from rules.judge.fixing import Fixing
from rules.judge.framed import Frame
from rules.judge.properties import named
from rules.judge.strengths import stiffness, strength_givens
from rules.library.evidence import Evidence
from rules.library.given import Given
from rules.subject.design import Design
from rules.subject.holding import Bracing
from rules.subject.settled import Settled

REST_ASK = "What do the strap of this anchorage and its other end carry? (bracing.anchor.rest_capacity)"
REST_FIRM_ASK = "How far do the strap and its other end give way? (bracing.anchor.rest_capacity.stiffness_kn_per_mm)"
CROSSING_SLIP = "fasteners_slip"
"""What a pack calls the slip modulus of fasteners; of those at the pieces it is asked for here."""


NOWHERE = (math.nan, math.nan)
"""Section of what nobody describes."""


def is_anchored(design: Design) -> bool:
    """Whether any item of bracing states the fasteners of its anchorage."""
    return any(item.anchor for item in items(design))


def anchor_givens(frame: Frame, braces: Mapping[str, Given], crossing: Evidence) -> dict[str, Given]:
    """Every item of the bracing. braces: what is given of the items themselves; crossing: evidence of them where they cross the pieces."""
    listed = items(frame.settled.design)
    rests = [item.anchor.rest_capacity if item.anchor else None for item in listed]
    return {**braces} | named(
        *fastener_givens(_fixings(frame.settled), ANCHORS),
        *strength_givens("anchor_rest", "F_R", "what the strap of its anchorage and its other end carry", REST_ASK, rests),
        Given(
            "anchor_rest_give", "1/K_ser", "mm/N", "give of these; nought where no strap is", np.array([*map(_give, listed)]), REST_FIRM_ASK
        ),
        Given("along_grain", "along", "", "it pulls along the grain of what it is anchored to", np.array([*map(_goes_along, listed)])),
        Given(
            "across_grain",
            "across",
            "",
            "it is stated to pull across the grain of what it is anchored to",
            np.array([*map(_goes_across, listed)]),
        ),
        Given("crossing_slip", "K_ser", "N/mm", "slip modulus of what fixes it to one piece", _slips(crossing, listed), FIRM_ASK),
    )


def _goes_along(item: Bracing) -> bool:
    return item.anchor is not None and item.anchor.grain == "along"


def _goes_across(item: Bracing) -> bool:
    return item.anchor is not None and item.anchor.grain == "across"


def _give(item: Bracing) -> float:
    """Of the strap of an anchorage and its other end; NaN where it is not stated."""
    straps = item.anchor is not None and item.anchor.fasteners.plate_mm is not None
    return 1.0 / stiffness(item.anchor.rest_capacity) if item.anchor and straps else 0.0


def _slips(crossing: Evidence, listed: Sequence[Bracing]) -> NDArray[np.float64]:
    """Of the fixings to one piece: declared, or of their fasteners; NaN where neither is known."""
    declared = np.array([stiffness(item.fixing_capacity) for item in listed])
    if CROSSING_SLIP not in crossing.book:
        return declared
    worked_out = np.broadcast_to(np.asarray(crossing[CROSSING_SLIP], dtype=np.float64), (1, len(listed)))[0]
    return np.where([item.fasteners is not None for item in listed], worked_out, declared)


def _fixings(settled: Settled) -> list[Fixing]:
    """Of every item: through the brace, or the steel of a strap, into the timber it is anchored to."""
    listed = items(settled.design)
    at = {item.id: place for place, item in enumerate(listed)}
    return [_fixing(settled, place, item, at.get(item.anchored_to or "")) for place, item in enumerate(listed)]


def _fixing(settled: Settled, place: int, item: Bracing, end: int | None) -> Fixing:
    """What is not stated of that timber is taken from the item of bracing that takes the force, whose thin side the fasteners go through."""
    if item.anchor is None:
        return Fixing(None)
    steel = item.anchor.fasteners.plate_mm is not None
    through = 0.0 if steel else min(item.section) if item.section else math.nan
    beyond = items(settled.design)[end].section if end is not None else None
    room, across = item.anchor.section or (beyond and (min(beyond), max(beyond))) or NOWHERE
    named_so = settled.anchor_materials[place] if item.anchor.grade else None
    point = named_so or (settled.brace_materials[end] if end is not None else None)
    head = () if steel else (settled.brace_materials[place],)
    return Fixing(item.anchor.fasteners, through, room, across, head, (point,), outside=True)
