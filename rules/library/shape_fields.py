"""Kinds of value that may stand in a pack's files: each takes what it means and nothing that only looks like it."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from typing import Any

from marshmallow import fields
from marshmallow.exceptions import ValidationError


class Text(fields.String):
    """Text that says something."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if isinstance(value, bool) or not isinstance(value, (str, int, float, datetime.date)):
            raise ValidationError("text is needed here")
        if not isinstance(value, str):
            raise ValidationError(f'text is needed here: write "{value}" in quotes')
        if not any(letter.isprintable() and not letter.isspace() for letter in value):
            raise ValidationError("this is empty")
        return value.strip()


class Formula(Text):
    """An expression, or a bare number written with its point."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if isinstance(value, int) and not isinstance(value, bool):
            raise ValidationError(f"numbers in expressions have a point: write {value}.0")
        if isinstance(value, float):
            return repr(value)
        return super()._deserialize(value, attr, data, **kwargs)


class Number(fields.Field[float]):
    """A finite number; whole numbers become floats."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise ValidationError(f"a number is needed here, not {value!r}")
        return float(value)


class Yes(fields.Field[bool]):
    """true or false, and nothing that looks like it."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError(f"true or false is needed here, not {value!r}")
        return value


class Day(fields.Field[datetime.date]):
    """A calendar day, written 2026-11-25."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> datetime.date:
        if not isinstance(value, datetime.date):
            raise ValidationError(f"a day such as 2026-11-25 is needed here, not {value!r}")
        return value


class Result(fields.Field[float | str]):
    """A number, or a word."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> float | str:
        return _result(value)


def _result(value: Any) -> float | str:
    if isinstance(value, bool) or not isinstance(value, (int, float, str)) or value == "":
        raise ValidationError(f"a number or a word is needed here, not {value!r}")
    return value if isinstance(value, str) else float(value)


class Scalar(fields.Field[Any]):
    """A number, a word, true or false, or nothing."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        if not isinstance(value, (str, int, float, bool)):
            raise ValidationError(f"a number or a word is needed here, not {value!r}")
        return value


class Row(fields.Field[tuple[tuple[Any, ...], float | str]]):
    """One row of a table: its keys, then the result. A key is a word, "*", {above: , up_to: }, or a list of these.

    Gives the keys, each as a tuple of its alternatives, and the result.
    """

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        if not isinstance(value, list) or len(value) < 2:
            raise ValidationError("a row is a list of keys and then the result")
        return tuple(_alternatives(key) for key in value[:-1]), _result(value[-1])


def _alternatives(key: Any) -> tuple[Any, ...]:
    if key == []:
        raise ValidationError("a list of keys holds at least one")
    return tuple(_row_key(each) for each in key) if isinstance(key, list) else (_row_key(key),)


def _row_key(key: Any) -> str | tuple[float, float]:
    if isinstance(key, str) and key:
        return key
    if isinstance(key, (int, float)) and not isinstance(key, bool):
        return f"{key:.12g}"
    if isinstance(key, dict) and key and set(key) <= {"above", "up_to"}:
        above, up_to = _end(key, "above", -math.inf), _end(key, "up_to", math.inf)
        if above < up_to:
            return above, up_to
        raise ValidationError("above is not below up_to: no number fits")
    raise ValidationError(f'a key is a word, "*" or {{above: , up_to: }}, not {key!r}')


def _end(key: Mapping[str, Any], end: str, missing: float) -> float:
    value = key.get(end, missing)
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise ValidationError(f"{end} is a number, not {value!r}")
    return float(value)
