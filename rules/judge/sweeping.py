"""Every rule over every combination of an axis, a part at a time, keeping of each element only how far it goes in each combination."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from rules.judge.along import Axis, Rows
from rules.judge.between import Between, nothing
from rules.judge.ties import floors
from rules.library.evidence import Evidence
from rules.library.quantity import ONE
from rules.library.rule import Rule

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
NEVER, LEAST = -np.inf, -1e300
"""Stand for "applies nowhere" and for "must be looked at, and the ratio is not known"."""


@dataclass(eq=False)
class Reach:
    """How far a rule goes at every place of some combinations. demand, limit: of the rule; ratio: demand over limit, the demand
    itself where the limit is nought, minus infinity where the rule does not apply. All broadcast over (combinations, places).

    furthest: the greatest ratio over each element's places; NaN where there is one among them. is_plain: whether all of it can be decided.
    """

    rule: Rule
    axis: Axis
    evidence: Evidence
    applies: Any
    demand: Floats
    limit: Floats
    ratio: Floats
    furthest: Floats
    is_plain: bool

    @cached_property
    def hidden(self) -> Bools:
        """Where the rule applies, or may, and cannot be decided: something below it is not stated, or its ratio is no number."""
        gap = self.evidence.gap
        may_apply = False if self.rule.when is None else gap(self.rule.when.name)
        lacking = np.logical_or(gap(self.rule.demand.name), gap(self.rule.limit.name))
        return np.asarray(np.isnan(self.ratio) | (self.applies & lacking) | may_apply)

    @cached_property
    def hidden_size(self) -> Floats:
        """The size of the demand there."""
        size = np.abs(self.demand)
        return np.where(self.hidden, np.where(np.isfinite(size), size, 0.0), NEVER)

    @cached_property
    def known_ratio(self) -> Floats:
        """The ratio elsewhere."""
        return self.ratio if self.is_plain else np.where(self.hidden, NEVER, self.ratio)

    @cached_property
    def doubtful_ratio(self) -> Floats:
        """The ratio where a person must look; a very small number where it is not known."""
        assert self.rule.undecided is not None
        doubtful = self.applies & np.asarray(self.evidence[self.rule.undecided.name], dtype=np.bool_)
        return np.where(doubtful, np.maximum(self.known_ratio, LEAST), NEVER)


def reach(rule: Rule, axis: Axis, evidence: Evidence) -> Reach | None:
    """How far the rule goes in the combinations of this evidence; None where it surely applies nowhere."""
    applies: Any = True
    if rule.when is not None:
        applies = np.asarray(evidence[rule.when.name])
        if not applies.any() and not evidence.lacks((rule.when.name,)):
            return None
    demand, limit = np.asarray(evidence[rule.demand.name], dtype=np.float64), np.asarray(evidence[rule.limit.name], dtype=np.float64)
    share = demand if rule.limit is ONE else _share(demand, limit)
    ratio = share if applies is True else np.where(applies, share, NEVER)
    furthest = axis.greatest(ratio)
    is_plain = not evidence.lacks(rule.decided_by) and not np.isnan(furthest).any()
    return Reach(rule, axis, evidence, applies, demand, limit, ratio, furthest, is_plain)


def _share(demand: Floats, limit: Floats) -> Floats:
    nought = limit == 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        share = demand / limit
    return np.where(nought, demand, share) if nought.any() else np.asarray(share)


@dataclass(slots=True)
class Swept:
    """What a rule comes to: (combinations, elements), the greatest over the places of each element, minus infinity where there is none.

    decided: demand over limit (demand itself where the limit is nought) where the rule applies and can be decided; hidden: the size
    of the demand where it applies, or may, and cannot be decided; doubtful: the ratio where a person must look; None: nowhere.
    failure: what kept the rule from running. reach: of the rule in all combinations, where they are looked at at once.
    """

    rule: Rule
    decided: Floats | None = None
    hidden: Floats | None = None
    doubtful: Floats | None = None
    failure: Exception | None = None
    reach: Reach | None = None

    def note(self, rows: Rows, found: Reach) -> None:
        """Take in what it comes to in these combinations."""
        decided = found.furthest
        if not found.is_plain:
            self.hidden = _noted(self.hidden, found, rows, found.axis.greatest(found.hidden_size))
            decided = found.axis.greatest(found.known_ratio)
        self.decided = _noted(self.decided, found, rows, decided)
        if found.rule.undecided is not None:
            self.doubtful = _noted(self.doubtful, found, rows, found.axis.greatest(found.doubtful_ratio))

    @property
    def tracks(self) -> tuple[tuple[str, Floats | None], ...]:
        """Decided, hidden and doubtful by name."""
        return (("decided", self.decided), ("hidden", self.hidden), ("doubtful", self.doubtful)) if self.failure is None else ()


def _noted(so_far: Floats | None, reach: Reach, rows: Rows, found: Floats) -> Floats | None:
    """What is known so far, and in these rows what is found there; nothing as long as nothing goes anywhere."""
    if so_far is None:
        if not (found > NEVER).any():
            return None
        if reach.axis.is_small and len(found) == len(rows):  # all there are, in their order
            return found
        so_far = np.full((reach.axis.shape[0], found.shape[1]), NEVER)
    so_far[rows] = found
    return so_far


def sweep(rules: Iterable[Rule], axis: Axis, between: Between = nothing) -> list[Swept]:
    """These rules over all combinations of an axis, in their order; one that breaks does not silence the others."""
    found = [Swept(rule, failure=_unprovided(rule, axis.evidence)) for rule in rules]
    for rows, evidence in axis.parts():
        between()
        for swept in found:
            if swept.failure is None:
                _take(swept, axis, rows, evidence)
    return found


def _take(swept: Swept, axis: Axis, rows: Rows, evidence: Evidence) -> None:
    try:
        there = reach(swept.rule, axis, evidence)
        if there is not None:
            swept.note(rows, there)
            swept.reach = there if evidence is axis.evidence else None
    except Exception as failure:  # told as an open judgement of this rule
        swept.failure = failure


def _unprovided(rule: Rule, evidence: Evidence) -> Exception | None:
    """What is missing below the rule, even where it would not be asked for."""
    try:
        evidence.plan.beneath(rule.judged_by)
    except Exception as missing:
        return missing
    return None


class Furthest(NamedTuple):
    """Where elements go furthest, each on its own. goes: (elements,) whether an element goes anywhere; rows: the first combination
    that counts as its greatest; floors: what does."""

    goes: Bools
    rows: Rows
    floors: Floats


def furthest(values: Sequence[Floats]) -> list[Furthest]:
    """Of each of these arrays over (combinations, elements); all of one shape, worked out together."""
    if not values:
        return []
    stacked = np.array(values)
    most = stacked.max(axis=1)
    least = floors(most)
    rows = (stacked >= least[:, None]).argmax(axis=1)
    return list(map(Furthest, most != NEVER, rows, least))
