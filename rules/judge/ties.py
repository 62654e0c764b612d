"""What counts as equal, so that the last digit of an analysis does not choose which combination, place or standing of a load is told."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
TIE = 1e-9
"""Numbers closer than this share of them (of one, below it) are equal: the first speaks. A limit is exceeded beyond 1 + TIE."""


def floors(most: Floats) -> Floats:
    """From what on a number counts as the greatest. Infinity counts for itself alone."""
    slack = TIE * np.maximum(1.0, np.abs(most))
    return most - np.where(np.isinf(most), 0.0, slack)


def floor(most: float) -> float:
    """The same of one number."""
    return most if math.isinf(most) else most - TIE * max(1.0, abs(most))
