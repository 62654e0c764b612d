"""Formula rules on whole arrays: each rule once, in its own guard; what cannot be decided is open, never a pass."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rules.judge.along import Axis
from rules.judge.judgement import Judgement
from rules.judge.sweeping import NEVER, TIE, Swept, sweep, tied
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
            by_key[place][key] = _judge(rules[place], axes[key], key, each)
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
    return min(listed, key=lambda j: (ORDER.index(j.kind), -(j.utilisation if j.utilisation is not None else j.demand or 0.0)))


def _judge(rule: Rule, axis: Axis, key: tuple[str, str], swept: Swept) -> list[Judgement]:
    try:
        if swept.failure is not None:
            raise swept.failure
        return [judge_element(rule, axis, key, swept, index) for index in range(len(axis.ids))]
    except Exception as failure:  # one broken rule must not silence the others: it becomes open
        return _broken(rule, axis, failure)


def judge_element(rule: Rule, axis: Axis, key: tuple[str, str], swept: Swept, index: int) -> Judgement:
    """This rule on one element of an axis."""
    base = Judgement(rule, str(rule.scope), axis.ids[index], index, Kind.NOT_APPLICABLE, rule.part, pointer=axis.pointer(index))
    decided, hidden, doubtful = (_found(rule, axis, index, swept, track) for track in TRACKS)
    if decided is None and hidden is None:
        return base._replace(because=rule.because or "does not apply here")
    fails = decided is not None and decided.exceeds
    if hidden is not None and not fails:
        known: dict[str, Any] = {"demand": hidden.demand} if math.isfinite(hidden.demand) else {}
        return base._replace(kind=Kind.OPEN, asks=_questions(axis, rule, hidden.place), **known, **hidden.where(axis, key))
    if doubtful is not None:
        return base._replace(kind=Kind.OPEN, asks=(rule.ask,), **doubtful.numbers, **doubtful.where(axis, key))
    assert decided is not None
    kind = rule.outcome if rule.outcome is not Kind.FAIL else Kind.FAIL if fails else Kind.PASS
    return base._replace(kind=kind, **decided.numbers, **decided.where(axis, key))


TRACKS = {"decided": "ratio", "hidden": "hidden_size", "doubtful": "doubtful_ratio"}
"""What is swept -> the array of a Reach it is the greatest of."""


def _found(rule: Rule, axis: Axis, index: int, swept: Swept, track: str) -> _Found | None:
    """Where this element goes furthest; None where it goes nowhere."""
    values = getattr(swept, track)
    if values is None or (most := float(values[:, index].max())) == NEVER:
        return None
    floor = tied(most)
    row = int(np.argmax(values[:, index] >= floor))
    evidence, there = axis.of(row)
    found, places = swept.reach(rule, axis, evidence), axis.slices[index]
    assert found is not None
    along = found.row(getattr(found, TRACKS[track]), there)[places]
    column = places.start + int(np.argmax(along >= min(floor, float(along.max()))))
    return _Found((row, column), float(found.row(found.demand, there)[column]), float(found.row(found.limit, there)[column]))


@dataclass(frozen=True, slots=True)
class _Found:
    """Where one element goes furthest: the combination, the place, and demand and limit there."""

    place: tuple[int, int]
    demand: float
    limit: float

    @property
    def exceeds(self) -> bool:
        """Beyond round-off."""
        return self.demand > self.limit * (1.0 + TIE)

    @property
    def numbers(self) -> dict[str, Any]:
        """Those that are numbers."""
        numbers = {name: number for name, number in (("demand", self.demand), ("limit", self.limit)) if math.isfinite(number)}
        if self.limit > 0.0 and math.isfinite(self.demand / self.limit):
            numbers["utilisation"] = self.demand / self.limit
        return numbers

    def where(self, axis: Axis, key: tuple[str, str]) -> dict[str, Any]:
        """For a judgement."""
        column = self.place[1]
        at = None if axis.at is None else float(axis.at[column])
        return {"axis": key, "place": self.place, "at_mm": at, "spot": axis.spots[column] if axis.spots else None}


def _questions(axis: Axis, rule: Rule, place: tuple[int, int]) -> tuple[str, ...]:
    evidence, row = axis.of(place[0])
    asked: list[str] = []
    for quantity in (rule.when, rule.demand, rule.limit):
        asked += evidence.questions(quantity.name, (row, place[1])) if quantity else []
    return tuple(dict.fromkeys(asked)) or (f"{rule.title}: a number it needs cannot be worked out here.",)
