"""Declared rules on every element of their scope, each in its own guard."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from rules.judge.along import Axis
from rules.judge.fact_rows import Row, common_row, rows
from rules.judge.framed import Frame
from rules.judge.judgement import NOTHING, Judgement, judgement_of
from rules.library.columns import Columns
from rules.library.declared import DeclaredRule, Outcome
from rules.library.judging_columns import judge_all
from rules.library.rule import Scope

Elements = Sequence[tuple[str, Row]]
MANY = 32
"""From so many elements on a rule is asked of all at once: handing arrays about costs as much as asking some thirty by themselves."""


def judge_declared(rules: Iterable[DeclaredRule], frame: Frame, axes: Mapping[tuple[str, str], Axis]) -> list[Judgement]:
    """Every rule on every element of its scope; the facts of a scope are gathered once, and stand in columns for all its rules."""
    elements: dict[Scope, Elements] = {}
    common = common_row(frame)
    columns: dict[tuple[Scope, int], Columns] = {}
    judgements: list[Judgement] = []
    for rule in rules:
        if rule.scope not in elements:
            elements[rule.scope] = list(rows(rule.scope, frame, axes, common))
        here = elements[rule.scope]
        key = rule.scope, id(rule.values)  # rules chosen for a design share the numbers in force
        if key not in columns:
            columns[key] = Columns([row for _, row in here], rule.values)
        judgements += _judge(rule, here, columns[key])
    return judgements


def _judge(rule: DeclaredRule, elements: Elements, columns: Columns) -> list[Judgement]:
    outcomes = _at_once(rule, columns) if len(elements) >= MANY else None
    if outcomes is None:
        outcomes = [_guarded(rule, row) for _, row in elements]
    return [judgement_of(_fields(rule, i, element, outcomes[i], row)) for i, (element, row) in enumerate(elements)]


def _at_once(rule: DeclaredRule, columns: Columns) -> list[Outcome] | None:
    """None where it breaks on any element: each is then asked by itself."""
    try:
        return judge_all(rule, columns)
    except Exception:
        return None


def _guarded(rule: DeclaredRule, row: Row) -> Outcome:
    try:
        return rule.judge(row)
    except Exception as failure:  # one broken rule must not silence the others: it becomes open
        return rule.asking(f"The rule could not run ({type(failure).__name__}). Report this to whoever keeps the pack {rule.pack!r}.")


def _fields(rule: DeclaredRule, index: int, element: str, outcome: Outcome, row: Row) -> tuple[Any, ...]:
    """Of a judgement, in their order."""
    kind, demand, limit, because, asks, message, _ = outcome
    used = demand / limit if demand is not None and limit else None
    place = (None, None, None)
    return (
        rule, rule.scope, element, index, kind, rule.part, demand, limit, used, *place, because, asks, message, None, NOTHING, row, None
    )  # fmt: skip
