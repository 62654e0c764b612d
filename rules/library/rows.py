"""The facts of one element, by name."""

from __future__ import annotations

from collections.abc import Mapping

from rules.library.expression_text import MAX_NUMBER
from rules.library.value import Value

FactValue = float | str | bool | None
Row = Mapping[str, FactValue]
"""What is known of one element; None, or no entry: not stated."""


def value_of(row: Row, name: str, values: Mapping[str, Value]) -> FactValue:
    """A fact of the row, a number in force, or whether a fact is stated; None: not stated."""
    if name in row:
        return row[name]
    if name.startswith("value."):
        value = values.get(name.removeprefix("value."))
        return value.number if value else None
    return row.get(name.removesuffix("_stated")) is not None if name.endswith("_stated") else None


def usable(value: FactValue) -> bool:
    """Whether an expression may be given this: it is stated, and arithmetic on it stays finite."""
    return abs(value) <= MAX_NUMBER if isinstance(value, float) else value is not None
