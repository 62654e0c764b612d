"""Figures of plates and bracing that can hardly be meant: nought off their place, nought apart, a strength that nobody vouches for.

No press and no saw is exact, and a figure typed to get past a question looks like one that was measured. Nobody can tell them apart from a document,
so a person looks.
"""

from __future__ import annotations

from collections.abc import Iterator

from rules.judge.joint_guards import PLACING, with_plates
from rules.judge.judgement import EngineRule, Judgement
from rules.judge.strengths import usable
from rules.library.rule import Kind
from rules.subject.design import Design
from rules.subject.faults import pointer
from rules.subject.holding import Bracing, Strength

GAPS = EngineRule(
    "gaps-as-meant", "The gaps that are promised can be sawn", "Contact in compression is worth only what the saw and the press can hold."
)
VOUCHED = EngineRule(
    "bracing-vouched-for",
    "Somebody vouches for what fixings of bracing are declared to carry",
    "Any figure passes that is large enough; one without a document behind it is somebody's guess.",
)
LEAST_PLACING_MM = 1.0
"""No press sets plates closer than that. Common practice, no published source."""


def figures_meant(design: Design) -> Iterator[Judgement]:
    """What a person has to look at among them."""
    yield from _placing(design)
    yield from _gaps(design)
    yield from _vouched(design)


def _placing(design: Design) -> Iterator[Judgement]:
    for part, index, joint, plates in with_plates(design):
        off = plates.placing_tolerance_mm
        if off is not None and off < LEAST_PLACING_MM:
            message = (
                f"Joint {joint.id}: its plates are said to sit within {off:g} mm of where they are drawn, and were judged there alone. "
                "Was that measured at the press?"
            )
            at = pointer(part, index, "placing_tolerance_mm")
            yield Judgement(PLACING, "joint", joint.id, index, Kind.REVIEW, "meant", message=message, pointer=at)


def _gaps(design: Design) -> Iterator[Judgement]:
    for part, index, joint, plates in with_plates(design):
        if plates.gaps and plates.gaps.most_mm == 0.0:
            message = f"Joint {joint.id}: no gap at all is promised between its pieces, and they were taken to press on each other. Can the saw hold that?"
            yield Judgement(GAPS, "joint", joint.id, index, Kind.REVIEW, message=message, pointer=pointer(part, index, "gaps", "most_mm"))


def _vouched(design: Design) -> Iterator[Judgement]:
    for index, item in enumerate(design.bracing if isinstance(design.bracing, tuple) else ()):
        bare = [field for field, strength in _declared(item) if strength and usable(strength) and not strength.document]
        for field in bare:
            what = WHAT[field]
            message = (
                f"{item.id}: what {what} is declared to carry is stated, and no document for it. Whose figure is it? ({field}.document)"
            )
            at = pointer("bracing", index, *field.split("."))
            yield Judgement(
                VOUCHED, "brace", item.id, index, Kind.REVIEW, field.replace(".", "-").replace("_", "-"), message=message, pointer=at
            )


WHAT = {
    "fixing_capacity": "its fixing to one piece",
    "anchor_capacity": "its anchorage",
    "anchor.rest_capacity": "the strap of its anchorage",
}


def _declared(item: Bracing) -> tuple[tuple[str, Strength | None], ...]:
    rest = item.anchor.rest_capacity if item.anchor else None
    return ("fixing_capacity", item.fixing_capacity), ("anchor_capacity", item.anchor_capacity), ("anchor.rest_capacity", rest)
