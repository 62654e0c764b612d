"""Envelopes for people: the furthest values over many combinations with the combination that gives them, in bounded memory.

Checks against a strength must not use these where a factor belongs to the combination.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .frame import Array, Index
from .influence import Quantity
from .response import Response

BLOCK_BYTES = 16_000_000


@dataclass(frozen=True)
class Envelope:
    """(S,) largest and smallest values at the stations and the combinations that give them, the first of equals."""

    high: Array
    high_in: Index
    low: Array
    low_in: Index


def envelopes(response: Response, factors: Array, quantities: Sequence[Quantity] = ("n", "v", "m")) -> dict[Quantity, Envelope]:
    """Envelopes of combinations (K, C) of the cases, block by block of combinations."""
    factors = np.asarray(factors, dtype=float)
    step = max(1, BLOCK_BYTES // (24 * len(response.layout.number)))
    found: dict[Quantity, Envelope] = {}
    for start in range(0, len(factors), step):
        combined = response.combine(factors[start : start + step])
        for quantity in quantities:
            here = _enveloped(getattr(combined, quantity), start)
            found[quantity] = _outer(found[quantity], here) if start else here
    return found


def _enveloped(values: Array, start: int) -> Envelope:
    high, low = values.argmax(axis=0), values.argmin(axis=0)
    station = np.arange(values.shape[1])
    return Envelope(values[high, station], high + start, values[low, station], low + start)


def _outer(one: Envelope, other: Envelope) -> Envelope:
    higher, lower = other.high > one.high, other.low < one.low
    return Envelope(
        np.where(higher, other.high, one.high),
        np.where(higher, other.high_in, one.high_in),
        np.where(lower, other.low, one.low),
        np.where(lower, other.low_in, one.low_in),
    )
