"""The sentence of a declared rule, with an element's own facts filled in."""

from __future__ import annotations

import math
import string
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from rules.library.rows import FactValue


@dataclass(frozen=True)
class Sentence:
    """A text with names in braces: {demand}, {limit}, and facts and values by their whole name."""

    text: str

    @cached_property
    def pieces(self) -> tuple[tuple[str, str | None], ...]:
        """Plain words and the name that follows them, None after the last."""
        return tuple((words, name) for words, name, _, _ in string.Formatter().parse(self.text))

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The names in its braces, in order."""
        return tuple(name for _, name in self.pieces if name is not None)

    def filled(self, facts: Mapping[str, FactValue], demand: float | None, limit: float | None) -> str:
        """The sentence as it is read."""
        sides = dict(zip(("demand", "limit"), _apart(demand, limit), strict=True)) if demand is not None and limit is not None else {}
        said = {name: sides[name] if name in sides else _word(facts[name]) for name in self.names}
        return "".join(words if name is None else words + said[name] for words, name in self.pieces)


def placeholders(message: str) -> tuple[str, ...]:
    """The names in braces of a message. Raises ValueError for braces that do not pair, or that hold more than a name."""
    found = []
    for _, name, spec, conversion in string.Formatter().parse(message):
        if name is not None:
            if spec or conversion or not name:
                raise ValueError("only a name stands in braces")
            found.append(name)
    return tuple(found)


def _word(value: FactValue) -> str:
    if value is None:
        return "not stated"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else readable(value)


def readable(number: float, digits: int = 4) -> str:
    """A number as a builder reads it: no exponent, no more digits than it needs."""
    if not math.isfinite(number):
        return "not known"
    places = max(0, digits - 1 - math.floor(math.log10(abs(number)))) if number else 0
    text = f"{number:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _apart(demand: float, limit: float) -> tuple[str, str]:
    """Both as read, with enough digits that different numbers never look equal."""
    for digits in range(4, 18):
        texts = readable(demand, digits), readable(limit, digits)
        if demand == limit or texts[0] != texts[1]:
            break
    return texts
