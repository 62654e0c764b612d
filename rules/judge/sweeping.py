"""Every rule over every combination of an axis, a part at a time, keeping of each element only how far it goes in each combination."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.judge.along import Axis, Rows
from rules.library.evidence import Evidence, UnknownQuantity
from rules.library.quantity import ONE
from rules.library.rule import Rule

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
TIE = 1e-9
"""Ratios closer than this are equal: the first combination, then the first place speaks. A limit is exceeded beyond 1 + TIE."""
NEVER, LEAST = -np.inf, -1e300
"""Stand for "applies nowhere" and for "must be looked at, and the ratio is not known"."""


@dataclass(frozen=True)
class Reach:
    """How far a rule goes at every place of some combinations. demand, limit: of the rule; ratio: demand over limit, the demand
    itself where the limit is nought, minus infinity where the rule does not apply. All broadcast over (combinations, places)."""

    rule: Rule
    axis: Axis
    evidence: Evidence
    applies: Any
    demand: Floats
    limit: Floats
    ratio: Floats

    @cached_property
    def lacks(self) -> bool:
        """Whether anything below the rule is not stated, so that parts of it may not be decided."""
        asked = (self.rule.when, self.rule.demand, self.rule.limit)
        return any(self.evidence.gap(each.name) is not False for each in asked if each is not None)

    @cached_property
    def hidden(self) -> Bools:
        """Where the rule applies, or may, and cannot be decided: something below it is not stated, or its ratio is no number."""
        gap = self.evidence.gap
        may_apply = False if self.rule.when is None else gap(self.rule.when.name)
        lacking = np.logical_or(gap(self.rule.demand.name), gap(self.rule.limit.name))
        return np.asarray(np.isnan(self.ratio) | (self.applies & lacking) | may_apply)

    @property
    def hidden_size(self) -> Floats:
        """The size of the demand there."""
        size = np.abs(self.demand)
        return np.where(self.hidden, np.where(np.isfinite(size), size, 0.0), NEVER)

    @property
    def known_ratio(self) -> Floats:
        """The ratio elsewhere."""
        return np.where(self.hidden, NEVER, self.ratio) if self.lacks or np.isnan(self.ratio).any() else self.ratio

    @property
    def doubtful_ratio(self) -> Floats:
        """The ratio where a person must look; a very small number where it is not known."""
        assert self.rule.undecided is not None
        doubtful = self.applies & np.asarray(self.evidence[self.rule.undecided.name], dtype=np.bool_)
        return np.where(doubtful, np.maximum(self.known_ratio, LEAST), NEVER)

    def at(self, values: Floats, rows: Rows, places: Rows) -> Floats:
        """An array of this reach at these combinations and places; an axis of length one stands for all of it."""
        values = np.atleast_2d(values)
        return np.asarray(values[np.minimum(rows, len(values) - 1), np.minimum(places, values.shape[1] - 1)])

    def greatest(self, values: Floats) -> Floats:
        """(combinations, or 1 for all alike, elements): the greatest over each element's places."""
        if values.ndim < 2 or values.shape[1] != self.axis.shape[1]:
            values = np.broadcast_to(values, (len(values) if values.ndim == 2 else 1, self.axis.shape[1]))
        return np.maximum.reduceat(values, self.axis.starts, axis=1)


def reach(rule: Rule, axis: Axis, evidence: Evidence) -> Reach | None:
    """How far the rule goes in the combinations of this evidence; None where it surely applies nowhere."""
    applies: Any = True
    if rule.when is not None:
        applies = evidence[rule.when.name]
        if not np.any(applies) and evidence.gap(rule.when.name) is False:
            return None
    demand, limit = (np.asarray(evidence[each.name], dtype=np.float64) for each in (rule.demand, rule.limit))
    share = demand if rule.limit is ONE else _share(demand, limit)
    return Reach(rule, axis, evidence, applies, demand, limit, share if applies is True else np.where(applies, share, NEVER))


def _share(demand: Floats, limit: Floats) -> Floats:
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(limit == 0.0, demand, demand / limit)


@dataclass(slots=True)
class Swept:
    """What a rule comes to: (combinations, elements), the greatest over the places of each element, minus infinity where there is none.

    decided: demand over limit (demand itself where the limit is nought) where the rule applies and can be decided; hidden: the size
    of the demand where it applies, or may, and cannot be decided; doubtful: the ratio where a person must look; None: nowhere.
    failure: what kept the rule from running. reaches: of the rule in evidence that was looked at again, by its identity; found: where
    each of the three is greatest.
    """

    decided: Floats
    hidden: Floats | None = None
    doubtful: Floats | None = None
    failure: Exception | None = None
    reaches: dict[int, Reach | None] = field(default_factory=dict)
    found: dict[str, Furthest] = field(default_factory=dict)

    def reach(self, rule: Rule, axis: Axis, evidence: Evidence) -> Reach | None:
        """Of its rule in this evidence, worked out once."""
        if id(evidence) not in self.reaches:
            self.reaches[id(evidence)] = reach(rule, axis, evidence)
        return self.reaches[id(evidence)]

    def note(self, rows: Rows, found: Reach) -> None:
        """Take in what it comes to in these combinations."""
        self.decided[rows] = decided = found.greatest(found.ratio)
        if found.lacks or np.isnan(decided).any():
            self.hidden = self._noted(self.hidden, rows, found.greatest(found.hidden_size))
            self.decided[rows] = found.greatest(found.known_ratio)
        if found.rule.undecided is not None:
            self.doubtful = self._noted(self.doubtful, rows, found.greatest(found.doubtful_ratio))

    def _noted(self, so_far: Floats | None, rows: Rows, found: Floats) -> Floats | None:
        if so_far is None:
            if not (found > NEVER).any():
                return None
            so_far = np.full(self.decided.shape, NEVER)
        so_far[rows] = found
        return so_far

    def governing(self) -> Iterator[Rows]:
        """For each of decided, hidden and doubtful, the combination in which each element that goes anywhere goes furthest."""
        return (self.furthest(track).rows for track in ("decided", "hidden", "doubtful"))

    def furthest(self, track: str) -> Furthest:
        """Of one of decided, hidden and doubtful; looked for once, when all is swept."""
        if track not in self.found:
            self.found[track] = _furthest(getattr(self, track))
        return self.found[track]


@dataclass(frozen=True, slots=True)
class Furthest:
    """elements: those that go anywhere; rows: of each the first combination within TIE of its greatest; floors: what is within."""

    elements: Rows
    rows: Rows
    floors: Floats


NOWHERE = Furthest(np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.intp), np.zeros(0))


def _furthest(values: Floats | None) -> Furthest:
    if values is None or not len(elements := np.flatnonzero((most := values.max(axis=0)) != NEVER)):
        return NOWHERE
    floors = np.array([_tied(each) for each in most[elements].tolist()])
    return Furthest(elements, (values[:, elements] >= floors).argmax(axis=0), floors)


def _tied(most: float) -> float:
    """What counts as the greatest; infinity counts for itself alone."""
    return most - TIE * max(1.0, abs(most)) if math.isfinite(most) else most


def sweep(rules: Iterable[Rule], axis: Axis) -> list[Swept]:
    """These rules over all combinations of an axis, in their order; one that breaks does not silence the others.

    The combinations that govern are kept at hand in the axis.
    """
    shape = (axis.shape[0], len(axis.ids))
    found = [(rule, Swept(np.full(shape, NEVER), failure=_unprovided(rule, axis.evidence))) for rule in rules]
    for rows, evidence in axis.parts():
        for rule, swept in found:
            if swept.failure is None:
                _take(rule, swept, axis, rows, evidence)
    governing = [rows for _, swept in found if swept.failure is None for rows in swept.governing()]
    axis.keep(np.unique(np.concatenate(governing)) if governing else np.zeros(0, dtype=np.intp))
    return [swept for _, swept in found]


def _take(rule: Rule, swept: Swept, axis: Axis, rows: Rows, evidence: Evidence) -> None:
    try:
        there = reach(rule, axis, evidence)
        if there is not None:
            swept.note(rows, there)
    except Exception as failure:  # told as an open judgement of this rule
        swept.failure = failure


def _unprovided(rule: Rule, evidence: Evidence) -> UnknownQuantity | None:
    """What is missing below the rule, even where it would not be asked for."""
    try:
        for quantity in (rule.demand, rule.limit, rule.undecided):
            if quantity is not None:
                evidence.varies(quantity.name)
    except UnknownQuantity as missing:
        return missing
    return None
