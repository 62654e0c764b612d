"""What expressions may call: the same functions whether one element is worked out or many at once."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import partial

from rules.library.value import Value

Function = Callable[..., float | str | bool]


class TableFunctions:
    """Look-ups in the tables in force. Each raises ValueError, in words, for what a table does not hold."""

    def __init__(self, values: Mapping[str, Value]) -> None:
        self.values = values

    def look_up(self, table: str, *keys: float | str) -> float | str:
        """The result of the first row that fits."""
        value = self._value(table)
        found = value.number if value.table is None else value.table.look_up(keys)
        if found is None:
            raise ValueError(f"the table {table} has no row for {', '.join(map(str, keys))}")
        return found

    def interpolate(self, table: str, *keys: float | str) -> float:
        """On the straight line between the rows of the last key."""
        value = self._value(table)
        if isinstance(value.number, float):
            return value.number
        found = value.table.between(keys) if value.table else None
        if found is None:
            raise ValueError(f"the table {table} does not reach {', '.join(map(str, keys))}")
        return found

    def has_row(self, table: str, *keys: float | str) -> bool:
        """Whether a row fits."""
        value = self._value(table)
        return value.table is None or value.table.look_up(keys) is not None

    def _value(self, name: str) -> Value:
        if name not in self.values:
            raise ValueError(f"the table {name} is not in force on this day")
        return self.values[name]


def of_tables(values: Mapping[str, Value]) -> dict[str, Function]:
    """The functions that look things up, by the name expressions call them."""
    return {name: partial(function, TableFunctions(values)) for name, function in OF_TABLES.items()}


OF_TABLES: Mapping[str, Function] = {
    "look_up": TableFunctions.look_up, "look_up_number": TableFunctions.look_up, "interpolate": TableFunctions.interpolate,
    "has_row": TableFunctions.has_row,
}  # fmt: skip
"""The same, of whichever tables."""


def _square_root(x: float) -> float:
    if x < 0.0:
        raise ValueError(f"there is no square root of {x:g}")
    return math.sqrt(x)


def _ratio(above: float, below: float) -> float:
    if below == 0.0:
        raise ValueError(f"{above:g} divided by nought")
    return above / below


PLAIN: Mapping[str, Function] = {
    "sqrt": _square_root,
    "abs": abs,
    "ratio": _ratio,
    "lower": lambda text: text.strip().lower(),
    "between": lambda x, low, high: low <= x <= high,
    "min": min,
    "max": max,
}
"""The functions that need no table, by the name expressions call them."""

METHODS: Mapping[str, Function] = {"contains": lambda text, part: part in text, "endsWith": str.endswith, "startsWith": str.startswith}
"""What a text can be asked. CEL brings its own; these are for columns."""

GIVES: Mapping[str, type] = {
    **dict.fromkeys(("between", "has_row", *METHODS), bool),
    **dict.fromkeys(("look_up", "lower"), str),
    **dict.fromkeys(("abs", "interpolate", "look_up_number", "max", "min", "ratio", "sqrt"), float),
}
"""What each of them gives."""
