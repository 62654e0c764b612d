"""Formula rules on whole arrays: each rule once, in its own guard; what cannot be decided is open, never a pass."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from rules.judge.along import Axis
from rules.judge.judgement import Judgement
from rules.judge.peaks import TRACKS, Peak, peaks
from rules.judge.sweeping import Swept, sweep
from rules.judge.words import amount
from rules.library.evidence import UnknownQuantity
from rules.library.rule import Kind, Rule

Key = tuple[str, str]
Axes = Mapping[Key, Axis]


def judge_rules(rules: Sequence[Rule], axes: Axes) -> list[Judgement]:
    """Every rule on every element of its axis, over every combination set it runs under: the worst word of each, in the rules' order."""
    by_key: list[dict[Key, list[Judgement]]] = [{} for _ in rules]
    for key in dict.fromkeys(key for rule in rules for key in keys_of(rule) if key in axes):
        concerned = [place for place, rule in enumerate(rules) if key in keys_of(rule)]
        swept = sweep([rules[place] for place in concerned], axes[key])
        for place, each in zip(concerned, swept, strict=True):
            by_key[place][key] = judge_swept(rules[place], axes[key], key, each)
    return [each for rule, judged in zip(rules, by_key, strict=True) for each in _worst_of(rule, judged)]


def _worst_of(rule: Rule, judged: Mapping[Key, list[Judgement]]) -> Iterator[Judgement]:
    return map(_worst, zip(*(judged[key] for key in keys_of(rule) if key in judged), strict=True))


def judge_rule(rule: Rule, axes: Axes) -> list[Judgement]:
    """One rule alone."""
    return judge_rules([rule], axes)


def keys_of(rule: Rule) -> list[tuple[str, str]]:
    """The combination sets and the axis this rule looks at."""
    axis = rule.axis or str(rule.scope)
    return [(under, axis) for under in rule.under]


def _broken(rule: Rule, axis: Axis, failure: Exception) -> list[Judgement]:
    missing = (
        f"it needs {failure}, which nothing in force provides"
        if isinstance(failure, UnknownQuantity)
        else f"{type(failure).__name__} in the rule"
    )
    ask = f"The rule could not run: {missing}. Report this to whoever keeps the pack {rule.pack!r}."
    return [
        Judgement(rule, rule.scope, element, i, Kind.OPEN, rule.part, asks=(ask,), pointer=axis.pointer(i))
        for i, element in enumerate(axis.ids)
    ]


ORDER = (Kind.FAIL, Kind.OPEN, Kind.REVIEW, Kind.INFORMATIONAL, Kind.PASS, Kind.NOT_APPLICABLE)


def _worst(candidates: Iterable[Judgement]) -> Judgement:
    """A fail before an open before a pass; among equals the higher ratio, then the first."""
    listed = list(candidates)
    if len(listed) == 1:
        return listed[0]
    return min(listed, key=lambda j: (ORDER.index(j.kind), -(j.utilisation if j.utilisation is not None else j.demand or 0.0)))


def judge_swept(rule: Rule, axis: Axis, key: Key, swept: Swept) -> list[Judgement]:
    """This rule on every element of an axis; open on all of them where it could not run."""
    try:
        if swept.failure is not None:
            raise swept.failure
        found = zip(*(peaks(rule, axis, swept, track) for track in TRACKS), strict=True)
        return [_word(rule, axis, key, index, *tracks) for index, tracks in enumerate(found)]
    except Exception as failure:  # one broken rule must not silence the others: it becomes open
        return _broken(rule, axis, failure)


def _word(rule: Rule, axis: Axis, key: Key, index: int, decided: Peak | None, hidden: Peak | None, doubtful: Peak | None) -> Judgement:
    """What it comes to on one element."""

    def worded(kind: Kind, **more: Any) -> Judgement:
        return Judgement(rule, str(rule.scope), axis.ids[index], index, kind, rule.part, pointer=axis.pointer(index), **more)

    fails = decided is not None and decided.exceeds
    if hidden is not None and not fails:
        known: dict[str, Any] = {"demand": hidden.demand} if math.isfinite(hidden.demand) else {}
        return worded(Kind.OPEN, asks=_questions(axis, rule, hidden.place), **known, **hidden.where(axis, key))
    if decided is None:
        return worded(Kind.NOT_APPLICABLE, because=rule.because or "does not apply here")
    if doubtful is not None:
        return worded(Kind.OPEN, asks=(_asked(rule, doubtful),), **doubtful.numbers, **doubtful.where(axis, key))
    kind = rule.said(fails=fails)
    asks = (_asked(rule, decided),) if kind is Kind.OPEN and rule.ask else ()
    return worded(kind, asks=asks, **decided.numbers, **decided.where(axis, key))


def _asked(rule: Rule, found: Peak) -> str:
    """The rule's question, with the numbers it names."""
    return rule.ask.format(demand=amount(found.demand, rule.demand.unit), limit=amount(found.limit, rule.limit.unit))


def _questions(axis: Axis, rule: Rule, place: tuple[int, int]) -> tuple[str, ...]:
    evidence, row = axis.of(place[0])
    asked: list[str] = []
    for quantity in (rule.when, rule.demand, rule.limit):
        asked += evidence.questions(quantity.name, (row, place[1])) if quantity else []
    return tuple(dict.fromkeys(asked)) or (f"{rule.title}: a number it needs cannot be worked out here.",)
