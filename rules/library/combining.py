"""Combinations told as a table: which factor each nature of load has in each equation, and which natures lead it.

For codes of practice whose combinations are a short list of sums. Every set of variable cases that may act together is taken, so
that permanent load alone, and permanent load with each other one alone, are always there with their own load durations.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rules.library.value import Value
from rules.subject.actions import DURATIONS
from rules.subject.faults import TooManyCombinations
from rules.subject.settled import CombinationSet, SettledAction

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Pair = tuple[str, str]

MOST_CHOICES = 100_000
MOST = 4_000
"""Published bounds: ways of choosing the variable actions, and combinations of one set. More is refused, never thinned out."""
RANKS: Mapping[str | None, int] = {word: rank for rank, word in enumerate((*DURATIONS, None))}
"""Of load durations, the shorter the higher; one that is not known above all."""
PERMANENT = "permanent"


@dataclass(frozen=True, slots=True)
class Equation:
    """One sum of loads. factors: by nature; a nature that is not there does not act. leads: of these natures one at least acts;
    none: no variable load acts at all."""

    name: str
    factors: Mapping[str, float]
    leads: frozenset[str] = frozenset()


def equations(values: Mapping[str, Value], factors: str, leads: str, *keys: str) -> tuple[Equation, ...]:
    """The equations of two tables: factors by (keys…, equation, nature), and the natures that lead by (equation, nature)."""
    table, leading = values[factors].table, values[leads].table
    assert table is not None, f"{factors} is a table in its pack"
    assert leading is not None, f"{leads} is a table in its pack"
    named = dict.fromkeys(row[-2] for row, _ in table.rows if all(key in ("*", asked) for key, asked in zip(row, keys, strict=False)))
    natures = dict.fromkeys(row[-1] for row, _ in table.rows)
    return tuple(
        Equation(
            str(name),
            {str(nature): float(found) for nature in natures if (found := table.look_up([*keys, str(name), str(nature)]))},
            frozenset(str(nature) for nature in natures if leading.look_up([str(name), str(nature)]) is not None),
        )
        for name in named
    )


def combination_set(
    name: str, actions: Sequence[SettledAction], wanted: Iterable[tuple[Equation, Bools]], creep: Mapping[str, float] | None = None
) -> CombinationSet:
    """The set of these equations, each with the subsets of variable cases it is made for.

    creep: the share by nature whose effect grows with time, for sets of movements. Raises TooManyCombinations.
    """
    rows = [(equation, *_rows(equation, actions, together)) for equation, together in wanted]
    factors = np.concatenate([found for _, found, _ in rows])
    present = np.concatenate([there for _, _, there in rows])
    if len(factors) > MOST:
        raise TooManyCombinations(f"the variable actions make {len(factors)} combinations, more than {MOST}")
    made = CombinationSet(
        name=name,
        actions=tuple(each.id for each in actions),
        permanent=tuple(each.action.nature == PERMANENT for each in actions),
        equations=tuple(equation.name for equation, found, _ in rows for _ in range(len(found))),
        factors=factors,
        present=present,
        durations=shortest(actions, present),
        accidental=np.zeros(len(factors), dtype=np.bool_),
    )
    return made if creep is None else made.with_creep(_spread(creep, actions) * (present | _permanent(actions)))


def subsets(actions: Sequence[SettledAction], apart: Collection[Pair] = ()) -> Bools:
    """(subsets, cases): every set of variable cases that may act together, the empty one first.

    apart: pairs of natures that never act together. Raises TooManyCombinations.
    """
    choices = list(_groups(actions).values()) or [[None]]
    if math.prod(len(choice) for choice in choices) > MOST_CHOICES:
        raise TooManyCombinations(f"the variable actions can be chosen in more than {MOST_CHOICES} ways")
    grid = np.indices([len(choice) for choice in choices]).reshape(len(choices), -1)
    together = np.zeros((grid.shape[1], len(actions)), dtype=np.bool_)
    for choice, picked in zip(choices, grid, strict=True):
        for place, index in enumerate(choice):
            if index is not None:
                together[:, index] = picked == place
    clash, lacks = clashes(actions, apart), _needs(actions)
    wrong = ((together @ clash) & together).any(axis=1) | (together @ lacks & ~together).any(axis=1)
    return together[~wrong]


def _rows(equation: Equation, actions: Sequence[SettledAction], together: Bools) -> tuple[Floats, Bools]:
    """Factors and variable cases of every subset this equation is for."""
    factors = _spread(equation.factors, actions)
    leads = np.array([each.action.nature in equation.leads for each in actions], dtype=np.bool_)
    held = ~(together & (factors == 0.0)).any(axis=1)
    led = (together & leads).any(axis=1) if equation.leads else ~together.any(axis=1)
    present = together[held & led]
    return factors * (present | _permanent(actions)), present


def _spread(by_nature: Mapping[str, float], actions: Sequence[SettledAction]) -> Floats:
    return np.array([0.0 if each.action.none_because else by_nature.get(each.action.nature, 0.0) for each in actions], dtype=np.float64)


def _permanent(actions: Sequence[SettledAction]) -> Bools:
    return np.array([each.action.nature == PERMANENT for each in actions], dtype=np.bool_)


def _groups(actions: Sequence[SettledAction]) -> dict[str, list[int | None]]:
    groups: dict[str, list[int | None]] = {}
    for index, each in enumerate(actions):
        if each.variable and each.action.none_because is None:
            groups.setdefault(each.action.one_of or f"\0{index}", [None]).append(index)
    return groups


def clashes(actions: Sequence[SettledAction], apart: Collection[Pair]) -> Bools:
    """(C, C): pairs that never act together, both ways."""
    clash = np.array([[other.id in each.action.never_with for other in actions] for each in actions], dtype=np.bool_).reshape(
        len(actions), -1
    )
    natures = np.array([each.action.nature for each in actions], dtype=np.str_)
    for one, other in apart:
        clash |= np.outer(natures == one, natures == other)
    return clash | clash.T


def _needs(actions: Sequence[SettledAction]) -> Bools:
    """(C, C): row needs column."""
    return np.array([[other.id in each.action.needs for other in actions] for each in actions], dtype=np.bool_).reshape(len(actions), -1)


def shortest(actions: Sequence[SettledAction], present: Bools) -> tuple[str | None, ...]:
    """The shortest load duration in each combination, which its factors go by; None when that of a case in it is not known."""
    ranks = np.array([RANKS[each.duration] for each in actions], dtype=np.intp)
    return tuple(map(tuple(RANKS).__getitem__, np.where(present, ranks, 0).max(axis=1, initial=0).tolist()))


def number(values: Mapping[str, Value], name: str) -> float:
    """A pack's number by name."""
    found = values[name].number
    assert isinstance(found, (int, float)), f"{name} is a number in its pack"
    return float(found)


def word(values: Mapping[str, Value], name: str) -> str:
    """A pack's word by name."""
    found = values[name].number
    assert isinstance(found, str), f"{name} is a word in its pack"
    return found


def by_nature(values: Mapping[str, Value], name: str, *keys: str) -> dict[str, float]:
    """A table by (keys…, nature) as a mapping; a nature without a row is left out."""
    table = values[name].table
    assert table is not None, f"{name} is a table in its pack"
    natures: Iterator[str] = (str(row[-1]) for row, _ in table.rows)
    return {nature: float(found) for nature in natures if (found := table.look_up([*keys, nature])) is not None}
