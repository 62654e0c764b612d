"""The lines of shown working: what each says of its quantity once, and the value it has at each place."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

from rules.library.citation import Citation
from rules.library.given import Given
from rules.library.labels import Labels
from rules.library.quantity import Quantity
from rules.library.value import Value

UNSAID = "not stated"


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


class Heading:
    """All that the steps of one quantity have in common. step: with no value yet; plain: the same as the report shows it."""

    __slots__ = ("plain", "step")

    def __init__(self, symbol: str, expression: str, unit: str, cites: Citation | None, number: Value | None = None) -> None:
        self.step = Step(symbol, expression, "", unit, cites, number)
        self.plain = self.step.plain()


def of_given(given: Given) -> Heading:
    """Of what is given; its words stand beside the value where they differ from place to place."""
    words = given.what if isinstance(given.what, str) else ""
    return Heading(given.symbol, words, given.unit, given.number.cites if given.number else None, given.number)


def of_value(value: Value, symbol: Callable[[str], str]) -> Heading:
    """Of a number of a pack, with what it is looked up by."""
    by = f", by {', '.join(map(symbol, value.table.by))}" if value.table else ""
    return Heading(value.symbol, value.what + by, value.unit, value.cites, value)


def of_formula(quantity: Quantity, symbol: Callable[[str], str]) -> Heading:
    """Of what is worked out."""
    return Heading(quantity.symbol, quantity.expression(symbol), quantity.unit, quantity.cites)


class Line(dict[Any, dict[str, Any]]):
    """The steps of one quantity as a report shows them: one for each number or word it has anywhere, made when it is first asked for.

    key: what tells the step of the place this far from the first one from others: the number there, or the place itself where `what`
    has words of its own for each. down, along: how far it is to the next combination and to the next place.
    """

    def __init__(self, heading: Heading, value: Any, what: str | Labels = "") -> None:
        self.heading, self.what, self.words = heading, what, value.words if isinstance(value, Labels) else None
        array = value.codes if isinstance(value, Labels) else value
        if isinstance(what, Labels):
            array, codes = np.broadcast_arrays(array, what.codes)
            self.what = Labels(what.words, codes)
        self.item, self.down, self.along = _items(array)
        self.key: Callable[[int], Any] = int if isinstance(what, Labels) else self.item

    def __missing__(self, key: Any) -> dict[str, Any]:
        told = self[key] = self.heading.plain | self._own(key)
        return told

    def step(self, key: Any) -> Step:
        """The step of a key."""
        return self.heading.step._replace(**self._own(key))

    def _own(self, key: Any) -> dict[str, Any]:
        """What this step says that others of its quantity do not."""
        if isinstance(self.what, str):
            return {"value": self._said(key)}
        return {"value": self._said(self.item(key)), "expression": self.what.words[self.what.codes.item(key)] or UNSAID}

    def _said(self, item: Any) -> float | str:
        return said(item) if self.words is None else self.words[item] or UNSAID


def _items(value: Any) -> tuple[Callable[[int], Any], int, int]:
    """What gives the item this far from the first one, and how far it is to that of the next combination, and of the next place."""
    if type(value) in _ALONE:
        return (value,).__getitem__, 0, 0
    array = np.asarray(value)
    down, along = (1, 1, *array.shape)[-2:]
    return array.item, 0 if down == 1 else along, 0 if along == 1 else 1


_ALONE = (float, str, int, bool)


def said(here: Any) -> Any:
    """A number as it is, yes or no in words, and that a number is not known."""
    if isinstance(here, float):
        return here if math.isfinite(here) else "not known"
    return ("yes" if here else "no") if isinstance(here, bool) else here
