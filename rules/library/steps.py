"""The lines of shown working: what each says of its quantity once, and the value it has at each place."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
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

    words: of a quantity that is one, by the number that stands for each.
    """

    def __init__(self, heading: Heading, words: Sequence[str | None] | None) -> None:
        self.heading, self.words = heading, words

    def __missing__(self, key: Any) -> dict[str, Any]:
        told = self[key] = self.heading.plain | self.own(key)
        return told

    def step(self, key: Any) -> Step:
        """The step of a key."""
        return self.heading.step._replace(**self.own(key))

    def own(self, key: Any) -> dict[str, Any]:
        """What this step says that others of its quantity do not."""
        return {"value": said(key) if self.words is None else self.words[key] or UNSAID}


class LineByPlace(Line):
    """The same of what has words of its own for each place. item: the number at a place; what: the words beside it."""

    def __init__(self, heading: Heading, words: Sequence[str | None] | None, item: Callable[[int], Any], what: Labels) -> None:
        super().__init__(heading, words)
        self.item, self.what = item, what

    def own(self, key: Any) -> dict[str, Any]:
        """See Line."""
        return {**super().own(self.item(key)), "expression": self.what.words[self.what.codes.item(key)] or UNSAID}


Reading = tuple[Line, Callable[[int], Any], int, int]
"""A line; what tells the step of the place this far from the first one from others, the number there or the place itself; and how far it
is to the next combination and to the next place."""


def read_off(heading: Heading, value: Any, what: str | Labels) -> Reading:
    """The line of a value, with how it is read. what: the words of what is given."""
    words, array = (value.words, value.codes) if isinstance(value, Labels) else (None, np.asarray(value))
    if isinstance(what, str):
        return Line(heading, words), array.item, *_strides(array.shape)
    array, codes = np.broadcast_arrays(array, what.codes)
    return LineByPlace(heading, words, array.item, Labels(what.words, codes)), int, *_strides(array.shape)


def _strides(shape: tuple[int, ...]) -> tuple[int, int]:
    """How far the item of a place is from the first one, for each step down the combinations and along the places."""
    match shape:
        case (*_, down, along):
            return 0 if down == 1 else along, 0 if along == 1 else 1
        case (along,):
            return 0, 0 if along == 1 else 1
        case _:
            return 0, 0


def said(here: Any) -> Any:
    """A number as it is, yes or no in words, and that a number is not known."""
    if isinstance(here, float):
        return here if math.isfinite(here) else "not known"
    return ("yes" if here else "no") if isinstance(here, bool) else here
