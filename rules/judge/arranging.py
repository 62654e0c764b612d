"""Combinations in which a load stands where it is worst: each keeps its identity, and N, V and M of an answer belong together."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rules.judge.effects import Effects
from rules.judge.standing import Alternatives, Place
from rules.judge.ties import TIE

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
    """One action's alternatives. parts[effect]: (ways, places) what it adds; on[effect]: (ways, alternatives, places) which act."""

    action: int
    places: tuple[Place, ...]
    parts: Mapping[str, Floats]
    on: Mapping[str, Bools]

    @property
    def ways(self) -> int:
        """How many."""
        return len(next(iter(self.on.values())))


@dataclass(frozen=True)
class Arrangement:
    """How base combinations become arranged ones. rows: (K',) the base combination of each; ways: (K',) how its roving loads
    stand, -1 where it has none; words: (K',) what else is to be said of each, or nothing."""

    groups: tuple[Group, ...]
    rows: NDArray[np.intp]
    ways: NDArray[np.intp]
    words: tuple[str, ...] = ()

    def spread(self, base: Effects, factors: Floats) -> Effects:
        """Effects of the arranged combinations. base: (K, places) without the roving loads; factors: (K, C), of which unknown ones count as
        nought."""
        if not self.groups:
            return base
        return {name: self._spread(name, effect, factors) for name, effect in base.items()}

    def _spread(self, name: str, effect: Floats, factors: Floats) -> Floats:
        total = effect[self.rows]
        moving = np.flatnonzero(self.ways >= 0)
        rows, ways = self.rows[moving], self.ways[moving]
        for group in self.groups:
            added = group.parts[name][ways]
            added *= np.nan_to_num(factors[rows, group.action])[:, None]
            total[moving] += added
        return total

    def standing_so(self, effects: Sequence[Effects]) -> Arrangement:
        """The same arrangement of the same loads, one of each group, by other effects of theirs."""
        groups = tuple(
            replace(group, parts={name: np.where(group.on[name], each, 0.0).sum(axis=1) for name, each in found.items()})
            for group, found in zip(self.groups, effects, strict=True)
        )
        return replace(self, groups=groups)

    def stand(self, row: int, place: int, effect: str, factors: Floats) -> list[tuple[int, Place]]:
        """(action, where) of every roving load that acts in this arranged combination, at its worst for this place and effect."""
        way = int(self.ways[row])
        if way < 0:
            return []
        acting = [group for group in self.groups if factors[self.rows[row], group.action] != 0.0]
        return [(group.action, group.places[i]) for group in acting for i in np.flatnonzero(group.on[effect][way, :, place]).tolist()]


ANYWHERE = 1 << 40
"""More places than any axis has."""


def placed(alternatives: Alternatives) -> Group:
    """One action's alternatives where each row was solved with one of them in it: the way is the place, wherever one looks; nothing is added."""
    each = np.eye(len(alternatives.places), dtype=np.bool_)[:, :, None]
    nothing = np.broadcast_to(0.0, (len(each), ANYWHERE))
    return Group(alternatives.action, alternatives.places, {"n": nothing}, {"n": np.broadcast_to(each, (*each.shape[:2], ANYWHERE))})


def arrange(factors: Floats, alternatives: Sequence[tuple[Alternatives, Effects]], ways: Ways) -> Arrangement:
    """Arrange every combination that holds a roving or free load in every way; the others stay as they are."""
    groups = _distinct([_group(each, effects, ways(effects)) for each, effects in alternatives])
    every = np.arange(len(factors))
    if not groups:
        return Arrangement((), every, np.full(len(factors), -1))
    roving = (factors[:, [group.action for group in groups]] != 0.0).any(axis=1)
    count = np.where(roving, groups[0].ways, 1)
    rows = np.repeat(every, count)
    within = np.arange(len(rows)) - np.repeat(np.cumsum(count) - count, count)
    return Arrangement(groups, rows, np.where(roving[rows], within, -1))


def _group(alternatives: Alternatives, effects: Effects, drives: list[Mapping[str, Floats]]) -> Group:
    driven = {name: tuple(id(way[name]) for way in drives) for name in effects}
    acting: dict[int, Bools] = {id(drive): _acting(alternatives.exclusive, drive) for way in drives for drive in way.values()}
    stacked = {ids: np.stack([acting[each] for each in ids]) for ids in dict.fromkeys(driven.values())}
    on = {name: stacked[ids] for name, ids in driven.items()}
    parts = {name: np.where(on[name], effect, 0.0).sum(axis=1) for name, effect in effects.items()}
    return Group(alternatives.action, alternatives.places, parts, on)


def _acting(exclusive: bool, drive: Floats) -> Bools:
    """Which alternatives act at each place: the first that goes furthest, or all that go the right way.

    What differs by less than TIE of the greatest drive anywhere is the same: between nought and round-off nothing is to choose.
    """
    slack = TIE * np.abs(drive).max(initial=0.0)
    if not exclusive:
        return np.asarray(drive > slack)
    on = np.zeros(drive.shape, dtype=np.bool_)
    on[(drive >= drive.max(axis=0) - slack).argmax(axis=0), np.arange(drive.shape[1])] = True
    return on


def _distinct(groups: Sequence[Group]) -> tuple[Group, ...]:
    """Every way once: at each place those that stand like an earlier one make room, so that fewer ways do for all places."""
    if not groups or groups[0].ways <= 2:
        return tuple(groups)
    each_once = {id(on): on for group in groups for on in group.on.values()}
    stands = np.concatenate([np.packbits(on, axis=1) for on in each_once.values()], axis=1)
    new = np.array([_unlike(stands[:way], stands[way]) for way in range(len(stands))])
    slot = new.cumsum(axis=0) - 1
    way_of = np.zeros((int(slot.max()) + 1, new.shape[1]), dtype=np.intp)
    ways, places = np.nonzero(new)
    way_of[slot[ways, places], places] = ways
    return tuple(_picked(group, way_of) for group in groups)


def _unlike(earlier: NDArray[np.uint8], stand: NDArray[np.uint8]) -> Bools:
    """At which places a way differs from all earlier ones. stand: (alternatives packed, places)."""
    return np.asarray(~(earlier == stand).all(axis=1).any(axis=0))


def _picked(group: Group, way_of: NDArray[np.intp]) -> Group:
    places = np.arange(way_of.shape[1])
    parts = {name: part[way_of, places] for name, part in group.parts.items()}
    picked = {id(each): np.moveaxis(each[way_of, :, places], 2, 1) for each in {id(on): on for on in group.on.values()}.values()}
    return Group(group.action, group.places, parts, {name: picked[id(each)] for name, each in group.on.items()})
