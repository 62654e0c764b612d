"""Picking members out of accepted values, for whoever builds dataclasses of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

Values = Mapping[str, Any]
Built = TypeVar("Built")


def take(values: Values, *names: str) -> dict[str, Any]:
    """Those of these members that are given."""
    return {name: values[name] for name in names if name in values}


def without(values: Values, *names: str) -> dict[str, Any]:
    """All members but these."""
    return {name: value for name, value in values.items() if name not in names}


def optional(values: Any, make: Callable[[Any], Built]) -> Built | None:
    """What is made of a value; None of none."""
    return None if values is None else make(values)


def pair(values: Values, name: str) -> tuple[float, float]:
    """Two numbers, nought where they are not given."""
    across, up = values.get(name, (0.0, 0.0))
    return (across, up)
