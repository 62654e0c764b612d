"""Which combinations can govern: those that are not the same as another, or a smaller share of one, under no shorter a load."""

from __future__ import annotations

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
    size = np.nan_to_num(np.abs(factors), nan=1.0).max(axis=1, initial=0.0)
    direction = np.round(factors / np.where(size > 0.0, size, 1.0)[:, None], DIGITS) + 0.0
    keys = np.column_stack([direction, np.where(np.isnan(factors).any(axis=1), size, 0.0), apart])
    group = _alike(np.nan_to_num(keys, nan=np.inf))
    order = np.lexsort((np.arange(len(size)), -size, ranks, group))
    group = group[order]
    kept = order[_rising(group, size[order])]
    standing = kept[size[kept] > 0.0]
    return np.sort(standing if len(standing) else kept)


def _alike(keys: Floats) -> NDArray[np.intp]:
    """A number for every row, the same for those that are the same to the last bit."""
    bits = np.ascontiguousarray(keys).view(np.dtype((np.void, keys.itemsize * keys.shape[1]))).ravel().tolist()
    numbers = {row: number for number, row in enumerate(dict.fromkeys(bits))}
    return np.array([numbers[row] for row in bits], dtype=np.intp)


def _rising(group: NDArray[np.intp], size: Floats) -> NDArray[np.bool_]:
    """Within each group, ordered by rank, the rows larger than all before them."""
    keep = np.ones(len(size), dtype=np.bool_)
    greatest, current = 0.0, -1
    for row, (own, large) in enumerate(zip(group.tolist(), size.tolist(), strict=True)):
        keep[row] = own != current or large > greatest * (1.0 + 10.0**-DIGITS)
        greatest = large if own != current else max(greatest, large)
        current = own
    return keep
