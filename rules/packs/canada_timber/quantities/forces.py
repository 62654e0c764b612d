"""Where each kind of force is there at all. N and N·mm, compression and tension both >= 0."""

from __future__ import annotations

import numpy as np

from rules.library import (
    has_cuts,
    is_bent,
    is_bent_and_pressed,
    is_bent_and_pulled,
    is_deep,
    is_pressed,
    is_pulled,
    is_sheared,
    presses_down,
    quantity,
    sagging,
    unsupported_length,
)

__all__ = [
    "has_cuts",
    "is_bent",
    "is_bent_and_pressed",
    "is_bent_and_pulled",
    "is_deep",
    "is_pressed",
    "is_pulled",
    "is_sheared",
    "presses_down",
    "sagging",
    "unsupported_length",
]


@quantity("T_f", "N")
def pull(n):
    return np.maximum(n, 0.0)


@quantity("P_f", "N")
def push(n):
    return np.maximum(-n, 0.0)


@quantity("M_f", "N·mm")
def moment(m):
    return np.abs(m)
