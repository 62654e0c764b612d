"""From judgements to a verdict: level, waiver, baseline, in one order of precedence that every finding repeats as `decided_by`.

Order, each over the one before: the rule's own level ("rule"); the caller's level for it in codes.levels ("caller"); the pack's word
that the rule is mandatory, under which a caller may raise its level and never lower it ("mandatory"); the waiver ("waiver"), which a
mandatory rule does not know. What a rule of strength or the engine itself says is lowered by no level either, but may be waived: a level
has no reason, no name under it, no element and no last day. What is asked for and does not hold is said in the finding. A waiver bound to a utilisation never covers
what has none: an unknown cannot be accepted up to a number; it can be accepted by a waiver without one.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from typing import NamedTuple

from rules.judge.judgement import EngineRule, Judgement
from rules.library.rule import Kind, Purpose
from rules.subject.design import Design, Waiver


class Decided(NamedTuple):
    """A judgement with its level ("none" unless it fails), who decided it, and the waiver that covers it."""

    judgement: Judgement
    level: str
    decided_by: str
    waiver: Waiver | None = None
    waiver_void: str = ""
    level_void: str = ""

    @property
    def kind(self) -> Kind:
        return self.judgement.kind

    def of(self, judgement: Judgement) -> Decided:
        """The same decision about another judgement."""
        return self._replace(judgement=judgement)


COUNTED = (Kind.FAIL, Kind.OPEN, Kind.REVIEW)
"""What keeps a design from passing, and may be waived."""


def decide(judgements: Iterable[Judgement], design: Design, as_of: datetime.date) -> list[Decided]:
    """Level and waiver of every judgement."""
    return [_decide(each, design, as_of) if each.kind in COUNTED else Decided(each, "none", "rule") for each in judgements]


def _decide(judgement: Judgement, design: Design, as_of: datetime.date) -> Decided:
    level, by, level_void = _level(judgement, design)
    waiver = next((each for each in design.waivers if _names(each, judgement)), None)
    if waiver is None:
        return Decided(judgement, level, by, level_void=level_void)
    void = _void(waiver, judgement, design, as_of)
    if void:
        return Decided(judgement, level, by, waiver_void=void, level_void=level_void)
    return Decided(judgement, level, "waiver", waiver, level_void=level_void)


GRAVEST_FIRST = ("error", "warning", "note")


def _level(judgement: Judgement, design: Design) -> tuple[str, str, str]:
    """Level, who decided it, and what of the caller's wish does not hold."""
    if judgement.kind is not Kind.FAIL:
        return "none", "rule", ""
    rule, asked = judgement.rule, design.codes.levels.get(judgement.rule.id)
    if asked is None:
        return rule.severity, "rule", ""
    if GRAVEST_FIRST.index(asked) <= GRAVEST_FIRST.index(rule.severity):
        return asked, "caller", ""
    if rule.mandatory:
        return rule.severity, "mandatory", f"{asked} was asked for, and {rule.pack} makes this rule mandatory"
    if isinstance(rule, EngineRule) or rule.purpose is Purpose.STRENGTH:
        kept = f"{asked} was asked for, and strength is not lowered for a whole design: a waiver accepts one finding, with a reason, a name and a last day"
        return rule.severity, "rule", kept
    return asked, "caller", ""


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
    if judgement.rule.mandatory:
        return f"{judgement.rule.pack} makes this rule mandatory"
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
    said = {(each.judgement.kind, each.level) for each in decided if each.waiver is None}
    kinds = {kind for kind, _ in said}
    if (Kind.FAIL, "error") in said:
        return "fail"
    if Kind.OPEN in kinds or not code_in_force:
        return "open"
    return "review" if Kind.REVIEW in kinds else "pass"
