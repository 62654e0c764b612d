"""Evidence: every quantity a rule may ask for, worked out on first use and kept."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from functools import cached_property, reduce
from itertools import chain
from typing import Any, NamedTuple

import numpy as np

from rules.library.citation import Citation
from rules.library.given import Array, Given, by_combination, unstated, where_any
from rules.library.labels import Labels
from rules.library.later import Later
from rules.library.planning import Plan
from rules.library.quantity import Quantity
from rules.library.value import Laid, Value


class Step(NamedTuple):
    """One line of shown working. number: the pack's own number that stands in it, None of a formula and of what was given."""

    symbol: str
    expression: str
    value: float | str
    unit: str
    cites: Citation | None
    number: Value | None = None

    def plain(self) -> dict[str, Any]:
        """As the report shows it."""
        return {
            "symbol": self.symbol,
            "expression": self.expression,
            "value": self.value,
            "unit": self.unit,
            "clause": self.cites.clause if self.cites else None,
            "number": self.number.name if self.number else None,
        }


class _Line(dict[Any, dict[str, Any]]):
    """The steps of one quantity as a report shows them: one for each number or word it has anywhere, made when it is first asked for.

    key: what tells the step of the place this far from the first one from others: the number there, or the place itself where `what`
    has words of its own for each. down, along: how far it is to the next combination and to the next place.
    """

    def __init__(self, make: Callable[[float | str, str], Step], value: Any, what: str | Labels) -> None:
        self.make, self.what, self.words = make, what, value.words if isinstance(value, Labels) else None
        array = value.codes if isinstance(value, Labels) else np.asarray(value)
        if isinstance(what, Labels):
            array, codes = np.broadcast_arrays(array, what.codes)
            self.what = Labels(what.words, codes)
        self.item, (self.down, self.along) = array.item, _strides(array.shape)
        self.key: Callable[[int], Any] = int if isinstance(what, Labels) else self.item

    def __missing__(self, key: Any) -> dict[str, Any]:
        told = self[key] = self.step(key).plain()
        return told

    def step(self, key: Any) -> Step:
        """The step of a key."""
        if isinstance(self.what, str):
            return self.make(self._said(key), self.what)
        return self.make(self._said(self.item(key)), self.what.words[self.what.codes.item(key)] or "not stated")

    def _said(self, item: Any) -> float | str:
        return _said(item) if self.words is None else self.words[item] or "not stated"


def _strides(shape: tuple[int, ...]) -> tuple[int, int]:
    """How far the item of a place is from the first one, for each step down the combinations and along the places."""
    down, along = (1, 1, *shape)[-2:]
    return 0 if down == 1 else along, 0 if along == 1 else 1


class Evidence:
    """Quantities by name over one set of combinations. Values of packs and quantities of the book share one name space.

    plan: how they rest on each other, where that was looked up before for the same names.
    """

    def __init__(
        self, book: Mapping[str, Quantity], values: Mapping[str, Value], given: Mapping[str, Given], plan: Plan | None = None
    ) -> None:
        self.plan = plan or Plan(book, values, given)
        self.book, self.values, self.given = self.plan.book, values, given
        self._known: dict[str, Any] = self._at_hand()
        self._laid: dict[str, Laid] = {}
        self._gaps: dict[str, Array | bool] = {}
        self._tracks: dict[str, tuple[tuple[str, bool], ...]] = {}
        self._makers: dict[str, Callable[[float | str, str], Step]] = {}
        self._lines: dict[str, _Line] = {}
        self._workings: dict[str, list[_Line]] = {}

    def _at_hand(self) -> dict[str, Any]:
        """What needs no working out: numbers of packs, and what is given and not left for later."""
        return self.plan.numbers | {name: each.value for name, each in self.given.items() if type(each.value) is not Later}

    def __getitem__(self, name: str) -> Any:
        """The quantity's array (or Labels); worked out once, with all it needs. Raises UnknownQuantity."""
        known = self._known
        if name not in known:
            for each in self.plan.walk(name):
                if each not in known:
                    known[each] = self._work_out(each)
        return known[name]

    def _work_out(self, name: str) -> Any:
        """What is needed is known already."""
        wanted = self.plan.formulas.get(name)
        if wanted is not None:
            return wanted.of(*map(self._known.__getitem__, wanted.needs))
        return self.given[name].value.value if name in self.given else self._tabulated(self.values[name])

    def _tabulated(self, value: Value) -> Any:
        if value.table is None:
            return value.number
        laid = self._laid[value.name] = value.table.laid(*map(self._known.__getitem__, value.table.by))
        return laid.out

    def needs(self, name: str) -> tuple[str, ...]:
        """What this quantity is worked out from, one step down. Raises UnknownQuantity."""
        return self.plan.needs(name)

    def walk(self, name: str) -> Iterator[str]:
        """Every name below this one, each once, needs before what needs them, itself last. Raises UnknownQuantity."""
        return iter(self.plan.walk(name))

    def lacks(self, names: tuple[str, ...]) -> bool:
        """Whether there is a gap in any of these."""
        unclear = self.plan.beneath(names) - self._clear
        return bool(unclear) and any(self._gap_of(each) is not False for each in unclear)

    def gap(self, name: str) -> Array | bool:
        """Where this quantity cannot be known because something below it is not stated. Broadcastable boolean.

        A table closes the gap of a missing key where every possible row says the same.
        """
        found = self._gaps.get(name)
        if found is None:
            found = self._gaps[name] = self._find_gap(name)
        return found

    def _find_gap(self, name: str) -> Array | bool:
        sources = self.plan.sources(name)
        if sources == (name,):
            return self._own_gap(name)
        gaps = [gap for each in sources if each not in self._clear and (gap := self._gap_of(each)) is not False]
        return reduce(np.logical_or, gaps) if gaps else False

    def _gap_of(self, source: str) -> Array | bool:
        """The gap where one may begin; where there is none it is not asked after again."""
        gap = self._gaps.get(source)
        if gap is None:
            gap = self._gaps[source] = self._own_gap(source)
        if gap is False:
            self._clear.add(source)
        return gap

    def _own_gap(self, name: str) -> Array | bool:
        """Of what is given, or read off a table."""
        if name in self.given:
            return unstated(self[name]) if self.given[name].ask else False
        looked_up = self[name]
        if name in self._laid and self._laid[name].decided:
            return False
        return where_any(np.isnan(looked_up))

    def varies(self, name: str) -> bool:
        """Whether this quantity may differ from combination to combination. Raises UnknownQuantity."""
        return not self._varying.isdisjoint(self.plan.roots(name))

    def track(self, name: str) -> tuple[tuple[str, bool], ...]:
        """What a part works out on its way to this, in order, and what it takes from the whole for that; whether each varies."""
        found = self._tracks.get(name)
        if found is None:
            walk = self.plan.walk(name)
            here = {each for each in walk if self.varies(each)}
            needed = {name, *here, *chain.from_iterable(map(self.needs, here))}
            found = self._tracks[name] = tuple((each, each in here) for each in walk if each in needed)
        return found

    @cached_property
    def _clear(self) -> set[str]:
        """What is known to be stated: first of all what is always."""
        return {name for name, each in self.given.items() if not each.ask}

    @cached_property
    def _varying(self) -> frozenset[str]:
        """What is given combination by combination."""
        return frozenset(name for name, each in self.given.items() if by_combination(each.value))

    def questions(self, name: str, place: tuple[int, ...]) -> list[str]:
        """What to ask so that this quantity can be known at this place."""
        asked = []
        for below in self.walk(name):
            given = self.given.get(below)
            if given and given.ask and _pick(np.asarray(unstated(self[below])), place) and self._matters(below, name, place):
                asked.append(given.ask)
        return list(dict.fromkeys(asked))

    def _matters(self, below: str, name: str, place: tuple[int, ...]) -> bool:
        """Whether the gap at `below` reaches `name`: some quantity between them that needs it has a gap here too."""
        users = [each for each in self.walk(name) if below in self.needs(each)]
        return not users or any(_pick(np.asarray(self.gap(user)), place) for user in users)

    def symbol(self, name: str) -> str:
        """The printed symbol of a name; of a word that names nothing here, the word."""
        named = self.given.get(name) or self.values.get(name) or self.book.get(name)
        return named.symbol if named else name

    def working(self, name: str, place: tuple[int, int]) -> list[dict[str, Any]]:
        """The walk down the needs at one place, as a report shows it: every number that led to this one, in order.

        To be read only: the same step stands in many workings.
        """
        row, column = place
        return [line[line.key(row * line.down + column * line.along)] for line in self._walked(name)]

    def steps(self, name: str) -> list[Step]:
        """The same of what is one number everywhere, or at the first place of all."""
        return [line.step(line.key(0)) for line in self._walked(name)]

    def _walked(self, name: str) -> list[_Line]:
        lines = self._workings.get(name)
        if lines is None:
            known = self._lines
            lines = self._workings[name] = [known[each] if each in known else self._line(each) for each in self.walk(name) if each != "ONE"]
        return lines

    def _line(self, name: str) -> _Line:
        make = self._makers.get(name) or self._makers.setdefault(name, self._maker(name))
        line = self._lines[name] = _Line(make, self[name], self.given[name].what if name in self.given else "")
        return line

    def _maker(self, name: str) -> Callable[[float | str, str], Step]:
        """What makes a step of a value of this quantity, and of the words for it where it is given."""
        given, value = self.given.get(name), self.values.get(name)
        if given is not None:
            symbol, unit, number = given.symbol, given.unit, given.number
            cites = number.cites if number else None
            return lambda here, what: Step(symbol, what, here, unit, cites, number)
        if value is not None:
            words = _table_words(value, self.symbol)
            return lambda here, _: Step(value.symbol, words, here, value.unit, value.cites, value)
        wanted = self.book[name]
        expression = wanted.expression(self.symbol)
        return lambda here, _: Step(wanted.symbol, expression, here, wanted.unit, wanted.cites)


def _table_words(value: Value, symbol: Callable[[str], str]) -> str:
    return value.what if value.table is None else f"{value.what}, by {', '.join(map(symbol, value.table.by))}"


def at_place(value: Any, place: tuple[int, ...]) -> Any:
    """The scalar (or word) this broadcastable value has at one place of the full array."""
    if isinstance(value, Labels):
        return value.words[int(_pick(value.codes, place))] or "not stated"
    if isinstance(value, str):
        return value
    return _said(value if type(value) is float else _pick(np.asarray(value), place))


def _said(here: Any) -> Any:
    """A number as it is, yes or no in words, and that a number is not known."""
    if isinstance(here, bool):
        return "yes" if here else "no"
    return here if not isinstance(here, float) or math.isfinite(here) else "not known"


def _pick(array: Array, place: tuple[int, ...]) -> Any:
    """The item a broadcastable array has at a place of the full one: an axis of length one stands for all of it."""
    own = place[len(place) - array.ndim :]
    return array.item(*[index if length > 1 else 0 for index, length in zip(own, array.shape, strict=True)])
