"""Where each kind of force is there at all. N and N·mm, compression and tension both >= 0."""

from __future__ import annotations

import numpy as np

from rules.library import (
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
)

__all__ = [
    "is_bent",
    "is_bent_and_pressed",
    "is_bent_and_pulled",
    "is_deep",
    "is_pressed",
    "is_pulled",
    "is_sheared",
    "presses_down",
    "sagging",
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


@quantity("l", "mm", says="length between the restraints of the edge that this moment compresses")
def unsupported_length(sagging, length_top, length_bottom):
    return np.where(sagging >= 0.0, length_top, length_bottom)


@quantity("cut", "", says="timber with holes or notches")
def has_cuts(is_hole, is_notch, is_odd_cut, is_timber):
    return (is_hole | is_notch | is_odd_cut) & is_timber
