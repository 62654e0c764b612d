"""How a judgement came about, line by line: what was read, what was worked out from it, and where each number comes from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import chain
from typing import Any

from rules.judge.along import Axis
from rules.judge.judgement import Judgement
from rules.library.columns import look_ups
from rules.library.declared import DeclaredRule
from rules.library.facts import BY_SCOPE
from rules.library.rule import Kind, Rule
from rules.library.steps import Step

Document = dict[str, Any]


def working(judgement: Judgement, axes: Mapping[tuple[str, str], Axis]) -> list[Document]:
    """The steps of one judgement; none for a guard of the engine, and where nothing was worked out."""
    if isinstance(judgement.rule, DeclaredRule):
        return [step.plain() for step in _declared(judgement.rule, judgement)]
    return _formula(judgement.rule, judgement, axes) if isinstance(judgement.rule, Rule) else []


def _formula(rule: Rule, judgement: Judgement, axes: Mapping[tuple[str, str], Axis]) -> list[Document]:
    if judgement.axis is None or judgement.place is None:
        return []
    evidence, row = axes[judgement.axis].of(judgement.place[0])
    place = row, judgement.place[1]
    return list(chain.from_iterable(evidence.working(name, place) for name in dict.fromkeys([rule.demand.name, rule.limit.name])))


def _declared(rule: DeclaredRule, judgement: Judgement) -> Iterator[Step]:
    """What the rule may look at, what its look-ups give here, and what it makes of them."""
    facts = {fact.name: fact for fact in BY_SCOPE[rule.scope]}
    for name in rule.reads:
        value = rule.values.get(name.removeprefix("value."))
        if name in facts:
            yield Step(name, facts[name].what, _word(judgement.facts.get(name)), facts[name].unit, None)
        elif name.startswith("value.") and value is not None:
            yield Step(value.symbol, value.what, _word(value.number), value.unit, value.cites, value)
    found = [each for expression in rule.expressions for each in look_ups(expression, judgement.facts, rule.values)]
    for each in {each.words: each for each in found}.values():
        yield Step(each.value.symbol, f"{each.value.what}: {each.words}", _word(each.result), each.unit, each.value.cites, each.value)
    yield from _asked(rule, judgement)


def _asked(rule: DeclaredRule, judgement: Judgement) -> Iterator[Step]:
    if rule.require is not None:
        answer = {Kind.PASS: "yes", rule.outcome: "no"}.get(judgement.kind, "not known")
        yield Step("required", " ".join(rule.require.text.split()), answer, "", rule.cites)
    for symbol, side, value in (("demand", rule.demand, judgement.demand), ("limit", rule.limit, judgement.limit)):
        if side is not None:
            yield Step(symbol, " ".join(side.text.split()), "not known" if value is None else value, rule.unit, rule.cites)


def _word(value: float | str | bool | None) -> float | str:
    if value is None:
        return "not stated"
    return ("yes" if value else "no") if isinstance(value, bool) else value
