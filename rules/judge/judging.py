"""Formula rules on whole arrays: each rule once, in its own guard; what cannot be decided is open, never a pass."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.judge.gather import Axis
from rules.judge.judgement import Judgement
from rules.library.evidence import UnknownQuantity
from rules.library.quantity import ONE
from rules.library.rule import Kind, Rule, Scope

TIE = 1e-9
"""Ratios closer than this are equal: the first combination, then the first place speaks. A limit is exceeded beyond 1 + TIE."""

Axes = Mapping[tuple[str, str], Axis]
Bools = NDArray[np.bool_]


def judge_rule(rule: Rule, axes: Axes) -> list[Judgement]:
    """This rule on every element of its axis, over every combination set it runs under: the worst word of each."""
    keys = [key for key in keys_of(rule) if key in axes]
    by_set = []
    for key in keys:
        axis = axes[key]
        try:
            by_set.append(_judge(rule, axis, key))
        except Exception as failure:  # one broken rule must not silence the others: it becomes open
            by_set.append(_broken(rule, axis, failure))
    return [_worst(candidates) for candidates in zip(*by_set, strict=True)]


def keys_of(rule: Rule) -> list[tuple[str, str]]:
    """The combination sets and the axis this rule looks at."""
    axis = rule.axis or {Scope.MEMBER: "member", Scope.SUPPORT: "support", Scope.DESIGN: "design"}[rule.scope]
    return [(under, axis) for under in rule.under]


def _broken(rule: Rule, axis: Axis, failure: Exception) -> list[Judgement]:
    missing = (
        f"it needs {failure}, which nothing in force provides"
        if isinstance(failure, UnknownQuantity)
        else f"{type(failure).__name__} in the rule"
    )
    ask = f"The rule could not run: {missing}. Report this to whoever keeps the pack {rule.pack!r}."
    return [Judgement(rule, rule.scope, element, i, Kind.OPEN, rule.part, asks=(ask,)) for i, element in enumerate(axis.ids)]


ORDER = (Kind.FAIL, Kind.OPEN, Kind.REVIEW, Kind.INFORMATIONAL, Kind.PASS, Kind.NOT_APPLICABLE)


def _worst(candidates: Iterable[Judgement]) -> Judgement:
    """A fail before an open before a pass; among equals the higher ratio, then the first."""
    listed = list(candidates)
    return min(listed, key=lambda j: (ORDER.index(j.kind), -(j.utilisation if j.utilisation is not None else j.demand or 0.0)))


@dataclass(frozen=True, slots=True)
class _Arrays:
    """A rule's arrays at full size, (combinations, places). ratio: demand over limit (demand itself where the limit is nought),
    minus infinity where the rule does not apply or cannot be decided; hidden: where it applies, or may, and cannot be decided;
    doubtful: where a person must look."""

    demand: NDArray[np.float64]
    limit: NDArray[np.float64]
    ratio: NDArray[np.float64]
    applies: Bools
    hidden: Bools | None
    doubtful: Bools | None


def _judge(rule: Rule, axis: Axis, key: tuple[str, str]) -> list[Judgement]:
    arrays = _arrays(rule, axis)
    return [_element(rule, axis, key, arrays, index) for index in range(len(axis.ids))]


def judge_element(rule: Rule, axis: Axis, key: tuple[str, str], index: int) -> Judgement:
    """This rule on one element of an axis."""
    return _element(rule, axis, key, _arrays(rule, axis), index)


def ratios(rule: Rule, axis: Axis) -> NDArray[np.float64]:
    """Demand over limit everywhere, minus infinity where the rule does not apply or cannot be decided."""
    return _arrays(rule, axis).ratio


def _arrays(rule: Rule, axis: Axis) -> _Arrays:
    shape, evidence = axis.shape, axis.evidence

    def full(value: Any, kind: type) -> NDArray[Any]:
        return np.broadcast_to(np.asarray(value, dtype=kind), shape)

    demand, limit = full(evidence[rule.demand.name], float), full(evidence[rule.limit.name], float)
    applies = full(True if rule.when is None else evidence[rule.when.name], bool)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(applies, demand if rule.limit is ONE else np.where(limit == 0.0, demand, demand / limit), -np.inf)
    hidden = _hidden(rule, axis, applies, np.isnan(ratio))
    doubtful = None if rule.undecided is None else applies & full(evidence[rule.undecided.name], bool)
    return _Arrays(demand, limit, ratio if hidden is None else np.where(hidden, -np.inf, ratio), applies, hidden, doubtful)


def _hidden(rule: Rule, axis: Axis, applies: Bools, unknown: Bools) -> Bools | None:
    """Where the rule cannot be decided: something below it is not stated, or its ratio is no number; None: nowhere."""
    evidence = axis.evidence
    may_apply = False if rule.when is None else evidence.gap(rule.when.name)
    gaps = [evidence.gap(rule.demand.name), evidence.gap(rule.limit.name)]
    if may_apply is False and not any(gap is not False for gap in gaps) and not unknown.any():
        return None
    found = unknown | (applies & np.logical_or(gaps[0], gaps[1])) | may_apply
    return np.asarray(np.broadcast_to(found, axis.shape), dtype=np.bool_)


def _element(rule: Rule, axis: Axis, key: tuple[str, str], arrays: _Arrays, index: int) -> Judgement:
    places = axis.slices[index]
    base = Judgement(rule, str(rule.scope), axis.ids[index], index, Kind.NOT_APPLICABLE, rule.part)
    hidden = arrays.hidden is not None and bool(arrays.hidden[:, places].any())
    if not hidden and not arrays.applies[:, places].any():
        return base._replace(because=rule.because or "does not apply here")
    place = _governing(arrays.ratio[:, places], places.start)
    fails = bool(np.isfinite(arrays.ratio[place])) and _exceeds(arrays, place)
    if hidden and not fails:
        return _open(rule, axis, key, arrays, base, places)
    if arrays.doubtful is not None and arrays.doubtful[:, places].any():
        place = _governing(np.where(arrays.doubtful[:, places], arrays.ratio[:, places], -np.inf), places.start)
        return base._replace(kind=Kind.OPEN, asks=(rule.ask,), **_numbers(arrays, place), **_where(axis, key, place))
    kind = rule.outcome if rule.outcome is not Kind.FAIL else Kind.FAIL if fails else Kind.PASS
    return base._replace(kind=kind, **_numbers(arrays, place), **_where(axis, key, place))


def _open(rule: Rule, axis: Axis, key: tuple[str, str], arrays: _Arrays, base: Judgement, places: slice) -> Judgement:
    """Open at the place of the greatest known demand among those that cannot be decided."""
    assert arrays.hidden is not None
    size = np.nan_to_num(np.abs(arrays.demand[:, places]), nan=0.0, posinf=0.0)
    place = _governing(np.where(arrays.hidden[:, places], size, -np.inf), places.start)
    known = float(arrays.demand[place])
    numbers: dict[str, Any] = {"demand": known} if math.isfinite(known) else {}
    return base._replace(kind=Kind.OPEN, asks=_questions(axis, rule, place), **numbers, **_where(axis, key, place))


def _questions(axis: Axis, rule: Rule, place: tuple[int, int]) -> tuple[str, ...]:
    asked: list[str] = []
    for quantity in (rule.when, rule.demand, rule.limit):
        asked += axis.evidence.questions(quantity.name, place) if quantity else []
    return tuple(dict.fromkeys(asked)) or (f"{rule.title}: a number it needs cannot be worked out here.",)


def _governing(ratio: NDArray[np.float64], start: int) -> tuple[int, int]:
    """The first combination, then the first place, whose ratio is within TIE of the greatest."""
    most = ratio.max()
    floor = most - TIE * max(1.0, abs(most)) if math.isfinite(most) else most
    return _first(ratio >= floor, start)


def _first(flags: Bools, start: int) -> tuple[int, int]:
    row, column = divmod(int(np.argmax(flags)), flags.shape[1])
    return row, start + column


def _exceeds(arrays: _Arrays, place: tuple[int, int]) -> bool:
    return bool(arrays.demand[place] > arrays.limit[place] * (1.0 + TIE))


def _numbers(arrays: _Arrays, place: tuple[int, int]) -> dict[str, Any]:
    demand, limit = float(arrays.demand[place]), float(arrays.limit[place])
    numbers: dict[str, Any] = {name: number for name, number in (("demand", demand), ("limit", limit)) if math.isfinite(number)}
    if limit > 0.0 and math.isfinite(demand / limit):
        numbers["utilisation"] = demand / limit
    return numbers


def _where(axis: Axis, key: tuple[str, str], place: tuple[int, int]) -> dict[str, Any]:
    at = None if axis.at is None else float(axis.at[place[1]])
    return {"axis": key, "place": place, "combination": axis.words(*place), "at_mm": at}
