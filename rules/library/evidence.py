"""Evidence: every quantity a rule may ask for, worked out on first use and kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property, reduce
from itertools import chain
from typing import Any

import numpy as np

from rules.library.given import Array, Given, by_combination, unstated, where_any
from rules.library.labels import Labels
from rules.library.later import Later
from rules.library.planning import Plan
from rules.library.quantity import Quantity
from rules.library.steps import UNSAID, Reading, Step, of_given, read_off, said
from rules.library.value import Laid, Value


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
        self._lines: dict[str, Reading] = {}
        self._workings: dict[str, list[Reading]] = {}

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
            gap = self.gap(below) if given and given.ask else False
            if given and gap is not False and _pick(np.asarray(gap), place) and self._matters(below, name, place):
                asked.append(given.ask)
        return list(dict.fromkeys(asked))

    def _matters(self, below: str, name: str, place: tuple[int, ...]) -> bool:
        """Whether the gap at `below` reaches `name`: some quantity between them that needs it has a gap here too."""
        users = [each for each in self.walk(name) if below in self.needs(each)]
        return not users or any(_pick(np.asarray(self.gap(user)), place) for user in users)

    def working(self, name: str, place: tuple[int, int]) -> list[dict[str, Any]]:
        """The walk down the needs at one place, as a report shows it: every number that led to this one, in order.

        To be read only: the same step stands in many workings.
        """
        row, column = place
        return [line[key(row * down + column * along)] for line, key, down, along in self._walked(name)]

    def steps(self, name: str) -> list[Step]:
        """The same of what is one number everywhere, or at the first place of all."""
        return [line.step(key(0)) for line, key, *_ in self._walked(name)]

    def _walked(self, name: str) -> list[Reading]:
        lines = self._workings.get(name)
        if lines is None:
            known = self._lines
            lines = self._workings[name] = [known[each] if each in known else self._line(each) for each in self.walk(name) if each != "ONE"]
        return lines

    def _line(self, name: str) -> Reading:
        given = self.given.get(name)
        heading = self.plan.heading(name, self.given) if given is None else of_given(given)
        reading = self._lines[name] = read_off(heading, self[name], given.what if given else "")
        return reading


def at_place(value: Any, place: tuple[int, ...]) -> Any:
    """The scalar (or word) this broadcastable value has at one place of the full array."""
    if isinstance(value, Labels):
        return value.words[int(_pick(value.codes, place))] or UNSAID
    if isinstance(value, str):
        return value
    return said(value if type(value) is float else _pick(np.asarray(value), place))


def _pick(array: Array, place: tuple[int, ...]) -> Any:
    """The item a broadcastable array has at a place of the full one: an axis of length one stands for all of it."""
    own = place[len(place) - array.ndim :]
    return array.item(*[index if length > 1 else 0 for index, length in zip(own, array.shape, strict=True)])
