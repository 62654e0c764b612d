"""Declared rules, one element at a time, each in its own guard."""

from __future__ import annotations

from collections.abc import Mapping

from rules.judge.fact_rows import rows
from rules.judge.framed import Frame
from rules.judge.gather import Axis
from rules.judge.judgement import Judgement
from rules.library.declared import DeclaredRule
from rules.library.rule import Kind


def judge_declared(rule: DeclaredRule, frame: Frame, axes: Mapping[tuple[str, str], Axis]) -> list[Judgement]:
    """This rule on every element of its scope."""
    return [_judge(rule, index, element, row) for index, (element, row) in enumerate(rows(rule.scope, frame, axes))]


def _judge(rule: DeclaredRule, index: int, element: str, row: Mapping[str, float | str | bool | None]) -> Judgement:
    try:
        outcome = rule.judge(row)
    except Exception as failure:  # one broken rule must not silence the others: it becomes open
        ask = f"The rule could not run ({type(failure).__name__}). Report this to whoever keeps the pack {rule.pack!r}."
        return Judgement(rule, rule.scope, element, index, Kind.OPEN, rule.part, asks=(ask,))
    utilisation = None
    if outcome.demand is not None and outcome.limit:
        utilisation = outcome.demand / outcome.limit
    return Judgement(
        rule,
        rule.scope,
        element,
        index,
        outcome.kind,
        rule.part,
        demand=outcome.demand,
        limit=outcome.limit,
        utilisation=utilisation,
        because=outcome.because,
        asks=outcome.asks,
        message=outcome.message,
    )
