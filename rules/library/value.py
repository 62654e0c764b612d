"""The numbers of a code of practice: dated, cited, never inside a function."""

from __future__ import annotations

import datetime
import math
import operator
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rules.library.citation import Citation
from rules.library.labels import Labels, Word

Number = float | str
"""A tabulated result: a number, or a word such as the name of a combination rule."""


@dataclass(frozen=True, slots=True)
class Interval:
    """A row key for a number: above < x <= up_to."""

    above: float = -math.inf
    up_to: float = math.inf


Key = str | Interval
ANY = "*"
"""A row key that matches everything."""
Asked = tuple[tuple[int, Key], ...]
Asking = tuple[tuple[Asked, Number], ...]
"""What each row asks, by place, and its result."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of keys and a result. by: names of the quantities the keys stand for, in order."""

    by: tuple[str, ...]
    rows: tuple[tuple[tuple[Key, ...], Number], ...]
    exact: Mapping[tuple[object, ...], Number] = field(init=False, repr=False, compare=False)
    asking: Asking = field(init=False, repr=False, compare=False)
    by_first: Mapping[Key, Asking] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Index the rows where every key is a plain word: those are found in one step. Note of each row what it asks, words first."""
        asked = ([(place, key) for place, key in enumerate(row) if key != ANY] for row, _ in self.rows)
        words_first = (tuple(sorted(each, key=lambda one: isinstance(one[1], Interval))) for each in asked)
        object.__setattr__(self, "asking", tuple(zip(words_first, (result for _, result in self.rows), strict=True)))
        object.__setattr__(self, "by_first", {word: tuple(self._begun(word)) for word in {ANY, *(row[0] for row, _ in self.rows if row)}})
        plain = all(isinstance(key, str) and key != ANY for row, _ in self.rows for key in row)
        object.__setattr__(self, "exact", dict(reversed(self.rows)) if plain else {})

    def _begun(self, word: Key) -> Iterator[tuple[Asked, Number]]:
        """The rows whose first key is this word or anything, with what they ask besides."""
        for (row, result), (asked, _) in zip(self.rows, self.asking, strict=True):
            if not row or row[0] in (word, ANY):
                yield tuple(each for each in asked if each[0] > 0), result

    def look_up(self, keys: Sequence[Word | float]) -> Number | None:
        """The result for these keys; None when no row holds, or when an unstated key (None, NaN) leaves it undecided.

        The first matching row speaks, so an exact row stands before a wildcard row.
        """
        at_once = self.exact.get(tuple(keys))
        if at_once is not None or (self.exact and all(isinstance(key, str) for key in keys)):
            return at_once
        fitting = self._results(keys)
        if None not in keys and all(map(operator.eq, keys, keys)):  # NaN is like nothing, not even itself
            return next(fitting, None)
        possible = set(fitting)
        return possible.pop() if len(possible) == 1 else None

    def between(self, keys: Sequence[Word | float]) -> float | None:
        """On the straight line between the neighbouring rows of the last key, the other keys fitting; None beyond the first and last."""
        *words, x = keys
        points = self._points(words)
        if not points or not isinstance(x, float) or not points[0][0] <= x <= points[-1][0]:
            return None
        ends, results = zip(*points, strict=True)
        return float(np.interp(x, ends, results))

    def _points(self, words: Sequence[Word | float]) -> list[tuple[float, float]]:
        rows = [(row, result) for row, result in self.rows if all(map(_matches, row[:-1], words))]
        if not rows:
            return []
        own = rows[0][0][:-1]  # the first row that fits speaks, and with it all that share its other keys
        return [(float(row[-1]), float(result)) for row, result in rows if row[:-1] == own and isinstance(row[-1], str)]

    @property
    def no_curve(self) -> str:
        """Why it cannot be interpolated over its last key; empty when it can."""
        last: dict[tuple[Key, ...], float] = {}
        for row, result in self.rows:
            if isinstance(row[-1], Interval) or not _is_number(row[-1]) or isinstance(result, str):
                return f"the rows need a number for {self.by[-1]} and for the result"
            if float(row[-1]) <= last.get(row[:-1], -math.inf):
                return f"{self.by[-1]} has to rise from row to row"
            last[row[:-1]] = float(row[-1])
        alone = len(self.rows) < 2 or any(sum(row[:-1] == own for row, _ in self.rows) < 2 for own in last)
        return "there is only one row to go by" if alone else ""

    def _results(self, keys: Sequence[Word | float]) -> Iterator[Number]:
        """Of every row that fits, or may: what is not stated fits any."""
        first = keys[0] if keys else None
        rows = self.by_first.get(first, self.by_first[ANY]) if isinstance(first, str) else self.asking
        for asked, result in rows:
            for place, k in asked:
                key = keys[place]
                if key is not None and key == key and not _fits(k, key):  # NaN is like nothing, not even itself
                    break
            else:
                yield result

    def laid(self, *keys: Labels | str | NDArray[np.float64]) -> Laid:
        """Look up whole axes at once. A word holds everywhere. Keys broadcast against each other."""
        words, codes = zip(*map(_labelled, keys), strict=True)
        found = [*map(self.look_up, product(*words))]
        numbers = [each if isinstance(each, (int, float)) else math.nan for each in found]
        results = np.array(numbers, dtype=np.float64).reshape([*map(len, words)])
        return Laid(results, codes, all(isinstance(each, (int, float)) for each in found))

    def spread(self, *keys: Labels | str | NDArray[np.float64]) -> NDArray[np.float64]:
        """One result per place, NaN where undecided."""
        return self.laid(*keys).out


MANY = 4
"""From so many rows a word on, taking whole rows is quicker than taking places."""


class Laid(NamedTuple):
    """A table over whole axes. results: for each way of taking one word of every key, NaN where undecided; codes: which word of
    each key holds at every place; decided: whether there surely is a result wherever these keys meet, however they do."""

    results: NDArray[np.float64]
    codes: tuple[NDArray[np.intp], ...]
    decided: bool

    @property
    def out(self) -> NDArray[np.float64]:
        """One result per place, NaN where undecided. Of a key that only differs from row to row, few words stand in many rows: the row of
        each word is made once, and taken whole wherever it stands."""
        down = [place for place, codes in enumerate(self.codes) if codes.ndim == 2 and len(codes) > 1]
        if len(down) != 1 or len(self.codes[down[0]]) < MANY * self.results.shape[down[0]] or self.codes[down[0]].shape[1] > 1:
            return np.asarray(self.results[self.codes], dtype=np.float64)
        (place,) = down
        each_once = [np.arange(self.results.shape[place])[:, None] if i == place else codes for i, codes in enumerate(self.codes)]
        return np.asarray(self.results[tuple(each_once)][self.codes[place][:, 0]], dtype=np.float64)


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def _matches(row: Key, key: Word | float) -> bool:
    """Whether a row's key holds of this one, which has to be stated unless anything will do."""
    return row == ANY or (key is not None and key == key and _fits(row, key))


def _fits(row: Key, key: str | float) -> bool:
    """The same of one that is stated."""
    if isinstance(row, Interval):
        return not isinstance(key, str) and row.above < key <= row.up_to
    return row == (key if isinstance(key, str) else f"{key:.12g}")


def _labelled(key: Labels | str | NDArray[np.float64]) -> tuple[Sequence[Word | float], NDArray[np.intp]]:
    if isinstance(key, str):
        key = Labels.one(key)
    if isinstance(key, Labels):
        return key.words, key.codes
    numbers = np.asarray(key, dtype=np.float64)
    distinct, codes = np.unique(numbers, return_inverse=True)
    return [float(each) for each in distinct], codes.reshape(numbers.shape)


@dataclass(frozen=True, slots=True)
class Value:
    """One named number (or table of numbers) of a pack, from one day until another.

    name: how formulas and declared rules ask for it; symbol, unit: as printed; what: in words. Exactly one of number and
    table is set. starts, ends: in force on starts <= day < ends (None: always). overrides: id of the pack whose value of
    the same name this one replaces. overridden_because: the caller's reason, when the caller replaced it. choices: the
    words a value that is a word may take. beneath: of a value in force, the one it replaced there.
    """

    name: str
    symbol: str
    unit: str
    what: str
    cites: Citation
    number: Number | None = None
    table: Table | None = None
    starts: datetime.date | None = None
    ends: datetime.date | None = None
    pack: str = ""
    overrides: str | None = None
    overridden_because: str | None = None
    choices: tuple[str, ...] = ()
    beneath: Value | None = field(default=None, compare=False)

    @property
    def is_word(self) -> bool:
        """Whether it gives words, not numbers."""
        return isinstance(self.table.rows[0][1] if self.table else self.number, str)

    def of_pack(self, pack: str, document: str, edition: str) -> Value:
        """The same value as part of a pack, its citation completed."""
        return replace(self, pack=pack, cites=self.cites.within(document, edition))

    def in_force(self, day: datetime.date) -> bool:
        """Whether this edition of the value holds on that day."""
        return (self.starts is None or self.starts <= day) and (self.ends is None or day < self.ends)
