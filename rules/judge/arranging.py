"""Combinations in which a load stands where it is worst: each keeps its identity, and N, V and M of an answer belong together."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rules.judge.effects import Effects
from rules.judge.standing import Alternatives, Place

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

Ways = Callable[[Effects], list[Mapping[str, Floats]]]
"""From the effects of alternatives to what each way of arranging them drives at: one array (alternatives, places) per effect."""


def both_signs(effects: Effects) -> list[Mapping[str, Floats]]:
    """Each effect for itself: furthest up, furthest down."""
    return [effects, {name: -effect for name, effect in effects.items()}]


def together(area: Floats, modulus: Floats) -> Ways:
    """Ways for forces that are judged together: the furthest N, V and M both ways, and the furthest stress of either edge both ways.

    A check that is convex in N and M is governed at a corner of what the load can do there; these ten look in ten directions.
    """

    def ways(effects: Effects) -> list[Mapping[str, Floats]]:
        axial, bent = effects["n"] / area, effects["m"] / modulus
        drives = (effects["n"], effects["v"], effects["m"], axial + bent, axial - bent)
        return [dict.fromkeys(effects, sign * drive) for drive in drives for sign in (1.0, -1.0)]

    return ways


@dataclass(frozen=True)
class Group:
    """One action's alternatives. part[way][name]: (places,) what it adds; on[way][name]: (alternatives, places) which act."""

    action: int
    places: tuple[Place, ...]
    part: Sequence[Mapping[str, Floats]]
    on: Sequence[Mapping[str, Bools]]


@dataclass(frozen=True)
class Arrangement:
    """How base combinations become arranged ones. rows: (K',) the base combination of each; ways: (K',) how its roving loads
    stand, -1 where it has none."""

    groups: tuple[Group, ...]
    rows: NDArray[np.intp]
    ways: NDArray[np.intp]

    def spread(self, base: Effects, factors: Floats) -> Effects:
        """Effects of the arranged combinations. base: (K, places) without the roving loads; factors: (K, C)."""
        if not self.groups:
            return base
        return {name: self._spread(name, effect, factors) for name, effect in base.items()}

    def _spread(self, name: str, effect: Floats, factors: Floats) -> Floats:
        total = effect[self.rows]
        moving = np.flatnonzero(self.ways >= 0)
        for group in self.groups:
            parts = np.stack([part[name] for part in group.part])
            total[moving] += factors[self.rows[moving], group.action][:, None] * parts[self.ways[moving]]
        return total

    def stand(self, row: int, place: int, effect: str, factors: Floats) -> list[tuple[int, Place]]:
        """(action, where) of every roving load that acts in this arranged combination, at its worst for this place and effect."""
        way = int(self.ways[row])
        if way < 0:
            return []
        acting = [group for group in self.groups if factors[self.rows[row], group.action] != 0.0]
        return [(group.action, group.places[i]) for group in acting for i in np.flatnonzero(group.on[way][effect][:, place]).tolist()]


def arrange(factors: Floats, alternatives: Sequence[tuple[Alternatives, Effects]], ways: Ways) -> Arrangement:
    """Arrange every combination that holds a roving or free load in every way; the others stay as they are."""
    groups = tuple(_group(each, effects, ways(effects)) for each, effects in alternatives)
    every = np.arange(len(factors))
    if not groups:
        return Arrangement((), every, np.full(len(factors), -1))
    roving = (factors[:, [group.action for group in groups]] != 0.0).any(axis=1)
    count = np.where(roving, len(groups[0].part), 1)
    rows = np.repeat(every, count)
    within = np.arange(len(rows)) - np.repeat(np.cumsum(count) - count, count)
    return Arrangement(groups, rows, np.where(roving[rows], within, -1))


def _group(alternatives: Alternatives, effects: Effects, drives: list[Mapping[str, Floats]]) -> Group:
    on = [{name: _acting(alternatives.exclusive, drive[name]) for name in effects} for drive in drives]
    part = [{name: np.where(each[name], effects[name], 0.0).sum(axis=0) for name in effects} for each in on]
    return Group(alternatives.action, alternatives.places, part, on)


def _acting(exclusive: bool, drive: Floats) -> Bools:
    """Which alternatives act at each place: the one that goes furthest, or all that go the right way."""
    if not exclusive:
        return np.asarray(drive > 0.0)
    on = np.zeros(drive.shape, dtype=np.bool_)
    on[drive.argmax(axis=0), np.arange(drive.shape[1])] = True
    return on
