"""Declared rules, one element at a time, each in its own guard."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rules.judge.fact_rows import rows
from rules.judge.framed import Frame
from rules.judge.gather import Axis
from rules.judge.judgement import Judgement
from rules.library.declared import DeclaredRule
from rules.library.rule import Kind


def judge_declared(rules: Iterable[DeclaredRule], frame: Frame, axes: Mapping[tuple[str, str], Axis]) -> list[Judgement]:
    """Every rule on every element of its scope; the facts of a scope are gathered once."""
    listed = list(rules)
    known = {scope: list(rows(scope, frame, axes)) for scope in dict.fromkeys(rule.scope for rule in listed)}
    return [_judge(rule, index, element, row) for rule in listed for index, (element, row) in enumerate(known[rule.scope])]


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
