"""What rests on what: the order in which quantities are worked out, and where it may begin that one cannot be known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from itertools import chain
from types import MappingProxyType
from typing import Any

from rules.library.given import Given
from rules.library.quantity import ONE, Quantity
from rules.library.steps import Heading, of_formula, of_value
from rules.library.value import Value


class UnknownQuantity(LookupError):
    """A rule asks for a name that no pack in force, and nothing gathered, provides."""


class Plan:
    """The walks through one name space of quantities, each found once: designs that give the same names share a plan.

    book: formulas by name; values: numbers of packs, which go before them; given: names that come from a design or its analysis, which
    go before both.
    """

    def __init__(self, book: Mapping[str, Quantity], values: Mapping[str, Value], given: Iterable[str]) -> None:
        self.book: Mapping[str, Quantity] = MappingProxyType({ONE.name: ONE, **book})
        self.values, self.given = values, frozenset(given)
        self._walks: dict[str, tuple[str, ...]] = {}
        self._roots: dict[str, frozenset[str]] = {}
        self._sources: dict[str, tuple[str, ...]] = {}
        self._beneath: dict[tuple[str, ...], frozenset[str]] = {}
        self._spoken_of: dict[str, tuple[str, ...]] = {}
        self._headings: dict[tuple[str, ...], Heading] = {}

    @cached_property
    def numbers(self) -> dict[str, Any]:
        """Plain numbers and words of packs, of those that are not given."""
        return {name: each.number for name, each in self.values.items() if each.table is None and name not in self.given}

    @cached_property
    def formulas(self) -> dict[str, Quantity]:
        """What is reckoned: neither given nor a number of a pack."""
        return {name: each for name, each in self.book.items() if name not in self.given and name not in self.values}

    def needs(self, name: str) -> tuple[str, ...]:
        """What this quantity is worked out from, one step down. Raises UnknownQuantity."""
        if name in self.given:
            return ()
        if name in self.values:
            table = self.values[name].table
            return table.by if table else ()
        if name in self.book:
            return self.book[name].needs
        raise UnknownQuantity(name)

    def walk(self, name: str) -> tuple[str, ...]:
        """Every name below this one, each once, needs before what needs them, itself last. Raises UnknownQuantity."""
        found = self._walks.get(name)
        if found is None:
            below = chain.from_iterable(map(self.walk, self.needs(name)))
            found = self._walks[name] = (*dict.fromkeys(below), name)
        return found

    def roots(self, name: str) -> frozenset[str]:
        """What is given, of all that is below this name."""
        found = self._roots.get(name)
        if found is None:
            found = self._roots[name] = self.given.intersection(self.walk(name))
        return found

    def sources(self, name: str) -> tuple[str, ...]:
        """What may keep this quantity from being known: given names and tables below it. A table answers for its own keys."""
        found = self._sources.get(name)
        if found is None:
            found = self._sources[name] = tuple(dict.fromkeys(self._sourced(name)))
        return found

    def beneath(self, names: tuple[str, ...]) -> frozenset[str]:
        """The same of several names together, all that is below them being provided for. Raises UnknownQuantity."""
        found = self._beneath.get(names)
        if found is None:
            for name in names:
                self.walk(name)
            found = self._beneath[names] = frozenset(chain.from_iterable(map(self.sources, names)))
        return found

    def heading(self, name: str, given: Mapping[str, Given]) -> Heading:
        """What the shown working says of a number of a pack or of a formula, found once for the same symbols of what is given."""
        key = (name, *[given[each].symbol for each in self._given_beside(name)])
        found = self._headings.get(key)
        if found is None:
            found = self._headings[key] = self._headed(name, given)
        return found

    def _given_beside(self, name: str) -> tuple[str, ...]:
        """What is given, of all that stands in the words of this quantity."""
        found = self._spoken_of.get(name)
        if found is None:
            beside = self.needs(name) if name in self.values else self.book[name].pieces[1::2]
            found = self._spoken_of[name] = tuple(dict.fromkeys(each for each in beside if each in self.given))
        return found

    def _headed(self, name: str, given: Mapping[str, Given]) -> Heading:
        def symbol(word: str) -> str:
            """The printed symbol of a name; of a word that names nothing here, the word."""
            named = given.get(word) or self.values.get(word) or self.book.get(word)
            return named.symbol if named else word

        return of_value(self.values[name], symbol) if name in self.values else of_formula(self.book[name], symbol)

    def _sourced(self, name: str) -> Iterable[str]:
        if name in self.given:
            return (name,)
        if name in self.values:
            return (name,) if self.values[name].table else ()
        return chain.from_iterable(map(self.sources, self.needs(name)))


class Plans:
    """The plans of one book of formulas and one set of numbers, by the names that are given. Only so many are kept."""

    MOST = 64

    def __init__(self, book: Mapping[str, Quantity], values: Mapping[str, Value]) -> None:
        self.book, self.values = book, values
        self._kept: dict[frozenset[str], Plan] = {}

    def of(self, given: Iterable[str]) -> Plan:
        """The plan where these names are given."""
        names = frozenset(given)
        plan = self._kept.get(names)
        if plan is None:
            plan = self._kept[names] = Plan(self.book, self.values, names)
            if len(self._kept) > self.MOST:
                self._kept.pop(next(iter(self._kept)), None)
        return plan
