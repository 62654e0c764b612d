"""Figures of plates that can hardly be meant: nought off their place, nought apart.

No press and no saw is exact, and a figure typed to get past a question looks like one that was measured. Nobody can tell them apart from a document,
so a person looks.
"""

from __future__ import annotations

from collections.abc import Iterator

from rules.judge.joint_guards import PLACING, with_plates
from rules.judge.judgement import EngineRule, Judgement
from rules.library.rule import Kind
from rules.subject.design import Design
from rules.subject.faults import pointer

GAPS = EngineRule(
    "gaps-as-meant", "The gaps that are promised can be sawn", "Contact in compression is worth only what the saw and the press can hold."
)
LEAST_PLACING_MM = 1.0
"""No press sets plates closer than that. Common practice, no published source."""


def figures_meant(design: Design) -> Iterator[Judgement]:
    """What a person has to look at among them."""
    yield from _placing(design)
    yield from _gaps(design)


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
