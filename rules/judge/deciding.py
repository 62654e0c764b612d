"""From judgements to a verdict: level, waiver, baseline, in one order of precedence that every finding repeats.

Order: the rule's own level; the caller's level for the rule (codes.levels); the waiver. A waiver never applies to what is
open: an unknown cannot be accepted up to a utilisation; it can be accepted by a waiver without one.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from rules.judge.judgement import Judgement
from rules.library.rule import Kind
from rules.subject.design import Design, Waiver


@dataclass(frozen=True, slots=True)
class Decided:
    """A judgement with its level ("none" unless it fails), who decided it, and the waiver that covers it."""

    judgement: Judgement
    level: str
    decided_by: str
    waiver: Waiver | None = None
    waiver_void: str = ""

    @property
    def kind(self) -> Kind:
        return self.judgement.kind


def decide(judgements: Iterable[Judgement], design: Design, as_of: datetime.date) -> list[Decided]:
    """Level and waiver of every judgement."""
    return [_decide(judgement, design, as_of) for judgement in judgements]


def _decide(judgement: Judgement, design: Design, as_of: datetime.date) -> Decided:
    level, by = _level(judgement, design)
    waiver = next((each for each in design.waivers if _names(each, judgement)), None)
    if waiver is None or judgement.kind not in (Kind.FAIL, Kind.OPEN, Kind.REVIEW):
        return Decided(judgement, level, by)
    void = _void(waiver, judgement, design, as_of)
    return Decided(judgement, level, by, waiver_void=void) if void else Decided(judgement, level, "waiver", waiver)


def _level(judgement: Judgement, design: Design) -> tuple[str, str]:
    if judgement.kind is not Kind.FAIL:
        return "none", "rule"
    asked = design.codes.levels.get(judgement.rule.id)
    return (asked, "caller") if asked else (judgement.rule.severity, "rule")


def _names(waiver: Waiver, judgement: Judgement) -> bool:
    element = waiver.element_id if waiver.element_kind != "design" else judgement.element_id
    return (waiver.rule, waiver.element_kind, element, waiver.part) == (
        judgement.rule.id,
        judgement.element_kind,
        judgement.element_id,
        judgement.part,
    )


def _void(waiver: Waiver, judgement: Judgement, design: Design, as_of: datetime.date) -> str:
    """Why this waiver does not hold, or nothing."""
    if as_of > waiver.expires:
        return f"expired on {waiver.expires.isoformat()}"
    if waiver.subject is not None and waiver.subject != design.subject_digest:
        return "given for another state of the design"
    if waiver.up_to_utilisation is not None:
        if judgement.utilisation is None:
            return "bound to a utilisation this finding does not have"
        if judgement.utilisation > waiver.up_to_utilisation * (1.0 + 1e-9):
            return f"accepted up to {waiver.up_to_utilisation:g} only"
    return ""


def verdict(decided: Iterable[Decided], *, code_in_force: bool) -> str:
    """fail, open, review or pass: the first that holds. What is waived does not count."""
    listed = [each for each in decided if each.waiver is None]
    if any(each.kind is Kind.FAIL and each.level == "error" for each in listed):
        return "fail"
    if any(each.kind is Kind.OPEN for each in listed) or not code_in_force:
        return "open"
    return "review" if any(each.kind is Kind.REVIEW for each in listed) else "pass"
