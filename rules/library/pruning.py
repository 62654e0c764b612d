"""Which combinations can govern: those that are not the same as another, or a smaller share of one, under no shorter a load."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

DIGITS = 12
"""Two directions that agree to so many digits are one."""


def useful(factors: Floats, ranks: NDArray[np.intp], apart: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Indices of the combinations worth judging, in order.

    factors: (K, n), all that multiplies effects; ranks: (K,) of the load's duration, the shorter the higher, because the shorter it
    is the more timber carries; apart: (K,) whether other material factors hold (accidents), so that it is compared with its like.
    A check that a load passes is passed by any share of it, so a combination that is t ≤ 1 times another of no higher rank governs
    nothing. Rows that hold NaN (factors not known) are dropped only where they are the same.
    """
    unknown = np.isnan(factors)
    some = unknown.any()
    size = np.abs(np.where(unknown, 1.0, factors) if some else factors).max(axis=1, initial=0.0)
    directions = _directions(factors, size, np.where(unknown.any(axis=1), size, 0.0) if some else 0.0, apart)
    kept = _rising(directions, size.tolist(), np.lexsort((-size, ranks)).tolist())
    return np.array(sorted(kept), dtype=np.intp)


def _directions(factors: Floats, size: Floats, only_like: Floats | float, apart: NDArray[np.bool_]) -> list[bytes]:
    """Of every row, what it has in common, to the last bit, with those that are shares of one another."""
    keys = np.empty((len(factors), factors.shape[1] + 2))
    keys[:, :-2] = (factors / np.where(size > 0.0, size, 1.0)[:, None]).round(DIGITS)
    keys[:, -2], keys[:, -1] = only_like, apart
    keys += 0.0  # of two noughts one
    keys[np.isnan(keys)] = np.inf  # of all that are no number one
    row = np.dtype((np.void, keys.itemsize * keys.shape[1]))
    return cast("list[bytes]", keys.view(row).ravel().tolist())


def _rising(directions: Sequence[bytes], size: Sequence[float], order: Sequence[int]) -> list[int]:
    """Of rows in the order of their rank, those larger than all of their direction before them; no load at all where that is all there is."""
    greatest: dict[bytes, float] = {}
    kept = []
    for row in order:
        most, own = greatest.get(directions[row], -1.0), size[row]
        if own > most * (1.0 + 10.0**-DIGITS):
            kept.append(row)
        greatest[directions[row]] = max(most, own)
    return [row for row in kept if size[row] > 0.0] or kept
