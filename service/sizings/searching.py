"""Looking for the cheapest choice that passes, with a bounded number of checks.

That a thicker piece helps is not always so: it draws force from its neighbours and weighs more. So nothing is concluded from one choice
about another. First pieces that do not pass are made stronger step by step until all pass, which gives a choice that will do; then
the choices cheaper than that are checked, all of them where the checks suffice. Only then is the cheapest proven.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from service.sizings.choices import Choice, Range

Key = tuple[float | None, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Tried:
    """What became of a choice. against: ids of the pieces that keep it from passing; distance: how far from passing, for the nearest miss."""

    choice: Choice
    passes: bool
    against: frozenset[str]
    distance: tuple[float, ...]
    told: Mapping[str, object]


@dataclass(slots=True)
class Search:
    """One search. check: checks a choice; left: checks that may still be made."""

    choices: Range
    check: Callable[[Choice], Tried]
    left: int
    tried: dict[Key, Tried] = field(default_factory=dict)
    best: Tried | None = None

    def run(self) -> None:
        """Look for the cheapest. Afterwards best is what was found, if anything."""
        for spacing in self.choices.spacings:
            self._climb(spacing)
        waiting = [choice for choice in self.cheaper() if choice.key not in self.tried]
        ordered = waiting if len(waiting) <= self.left else reversed(waiting)
        for choice in ordered:
            if self.left and (self.best is None or choice.cost < self.best.choice.cost):
                self._try(choice)

    def cheaper(self) -> list[Choice]:
        """Every choice that costs less than the best, or every choice; the cheapest first."""
        every = self.choices.cheapest_first()
        return every if self.best is None else [choice for choice in every if choice.cost < self.best.choice.cost]

    def unchecked(self) -> int:
        """How many choices might still be better: none, where the answer is proven."""
        return sum(choice.key not in self.tried for choice in self.cheaper())

    def _climb(self, spacing: float | None) -> None:
        """From the cheapest make of every group, those that keep the design from passing one step up at a time."""
        picks = [0] * len(self.choices.groups)
        while self.left:
            choice = self.choices.choice(spacing, picks)
            if self.best is not None and choice.cost >= self.best.choice.cost:
                return
            tried = self._try(choice)
            if tried.passes or not (steps := list(self._steps(picks, tried.against))):
                return
            for index in steps:
                picks[index] += 1

    def _steps(self, picks: list[int], against: frozenset[str]) -> Iterable[int]:
        """The groups to make stronger: those at fault, or where none of them is or can be, all that can."""
        can = [index for index, group in enumerate(self.choices.groups) if picks[index] + 1 < len(group.makes)]
        return [index for index in can if against.intersection(self.choices.groups[index].members)] or can

    def _try(self, choice: Choice) -> Tried:
        self.left -= 1
        tried = self.tried[choice.key] = self.check(choice)
        if tried.passes and (self.best is None or choice.cost < self.best.choice.cost):
            self.best = tried
        return tried


def nearest(tried: Iterable[Tried]) -> Tried:
    """The one that is nearest to passing: by verdict, then by how many checks are not met and by how much, then by cost."""
    return min(tried, key=lambda each: (*each.distance, each.choice.cost))


def in_order(tried: Iterable[Tried]) -> list[Tried]:
    """Those tried, the cheapest first."""
    return sorted(tried, key=lambda each: each.choice.cost)
