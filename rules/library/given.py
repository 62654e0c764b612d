"""What is given: quantities that come from a design or its analysis, and what can be said of their values."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from rules.library.labels import Labels
from rules.library.later import Later
from rules.library.value import Value

Array = NDArray[Any]


class Given(NamedTuple):
    """A tuple, because a check makes hundreds. A quantity that comes from the design or the analysis, not from a formula.

    value: a number, an array broadcastable over (combination, element), Labels, or Later one of these. ask: the question that fills it in where
    it is not stated (NaN, or the label None); empty when it always is. what: in words, a label for each place where these differ.
    number: the pack's own number it was read off, if it was.
    """

    name: str
    symbol: str
    unit: str
    what: str | Labels
    value: Any
    ask: str = ""
    number: Value | None = None


def by_combination(value: Any) -> bool:
    """Whether the value has an axis of combinations: two axes, the first longer than one."""
    if isinstance(value, Later):
        return False
    shape = np.shape(value.codes) if isinstance(value, Labels) else np.shape(value)
    return len(shape) == 2 and shape[0] > 1


def taken(value: Any, rows: NDArray[np.intp]) -> Any:
    """In these combinations only."""
    if isinstance(value, Labels):
        return Labels(value.words, _once(value.codes[rows]))
    taken = value[rows]
    return _once(taken) if taken.shape[1] == 1 else taken


def _once(taken: Array) -> Array:
    """One row where all say the same, so that all that follows from it is worked out once."""
    return taken[:1] if (taken == taken[0]).all() else taken


def unstated(value: Any) -> Array | bool:
    """Where it is not stated; False where it is everywhere."""
    if isinstance(value, Labels):
        if None not in value.words:
            return False
        missing = np.array([word is None for word in value.words], dtype=np.bool_)
        return where_any(missing[value.codes])
    if isinstance(value, str):
        return False
    numbers = np.asarray(value, dtype=np.float64)
    if numbers.size and numbers.min() > -math.inf:  # the least of some numbers and NaN is NaN: one look instead of two
        return False
    return where_any(np.isnan(numbers))


def where_any(gaps: Array) -> Array | bool:
    """False instead of an array that says so everywhere."""
    return gaps if gaps.any() else False
