"""Walls that stand further apart than the frame was drawn for, and what it loses of its bearings; or nearer, and where it then bears."""

from __future__ import annotations

from collections.abc import Iterator

from rules.judge.framed import Frame
from rules.judge.judgement import EngineRule, Judgement
from rules.library.rule import Kind
from rules.subject.design import Design
from rules.subject.frame import Support

BETWEEN = EngineRule(
    "walls-as-built",
    "The frame reaches the walls as they were built",
    "Walls stand out of true: what the wall is further away is missing from the bearings.",
)
SLACK_MM = 5.0
"""What a tape on site may miss; common practice, no published source."""
ASK = "How long is the bearing found at each of them? (as_built.at_supports, bearing_mm) Or have the component made longer."


NEARER = (
    "Then it no longer bears where it is drawn to, and what is to go between the walls may not fit: measure the bearings (as_built.at_supports, bearing_mm), "
    "and draw it between the walls that stand there."
)


def walls_as_built(frame: Frame) -> Iterator[Judgement]:
    """Whether a frame that sits on walls still does, by the clear width measured between them. Hangers have rules of their own."""
    design = frame.settled.design
    measured = design.as_built.clear_width_mm if design.as_built else None
    ends = sorted((each for each in design.supports if _length(each)), key=lambda each: _middle(frame, each))
    if measured is None or len(ends) < 2 or all(each.seat is not None and each.seat.on == "hanger" for each in ends):
        return
    first, last = ends[0], ends[-1]
    drawn = _middle(frame, last) - _middle(frame, first) - (_length(first) + _length(last)) / 2.0
    wider, room = measured - drawn, _length(first) + _length(last)
    found = [_found(design, each) for each in (first, last)]
    told = f"Between {first.id} and {last.id} {measured:g} mm were measured clear, and the frame is drawn for {drawn:.4g} mm"
    if wider >= room:
        yield _judged(frame, Kind.FAIL, f"{told}: it falls between the walls.")
    elif wider > SLACK_MM and None in found:
        yield _judged(frame, Kind.OPEN, f"{told}: {wider:.3g} mm are missing from its bearings in all.", ASK)
    elif wider < -SLACK_MM and None in found:
        yield _judged(frame, Kind.REVIEW, f"{told}: they are {-wider:.3g} mm nearer. {NEARER}")
    elif wider + sum(each or 0.0 for each in found) > room + SLACK_MM and None not in found:
        yield _judged(frame, Kind.OPEN, f"{told}: the bearings that were found there do not add up to it.", "Measure again. (as_built)")


def _judged(frame: Frame, kind: Kind, message: str, *asks: str) -> Judgement:
    design = frame.settled.design
    return Judgement(BETWEEN, "design", design.reference, 0, kind, asks=asks, message=message, pointer="/as_built/clear_width_mm")


def _length(support: Support) -> float:
    """mm of its bearing along the span; nought where it is not stated."""
    return (support.seat.length_mm or 0.0) if support.seat else 0.0


def _middle(frame: Frame, support: Support) -> float:
    """x of the middle of its bearing, mm."""
    offset = support.seat.offset_mm[0] if support.seat else 0.0
    return float(frame.geometry.xy[frame.geometry.at[support.node], 0]) + offset


def _found(design: Design, support: Support) -> float | None:
    """The bearing measured there, mm."""
    at = design.as_built.at_supports if design.as_built else ()
    return next((each.bearing_mm for each in at if each.support == support.id), None)
