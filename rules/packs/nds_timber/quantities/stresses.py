"""Stresses from the forces of the analysis, and where each kind of stress is there at all. N/mm², compression and tension both >= 0."""

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


@quantity("f_t", "N/mm²")
def tension_stress(n, area):
    return np.maximum(n, 0.0) / area


@quantity("f_c", "N/mm²")
def compression_stress(n, area):
    return np.maximum(-n, 0.0) / area


@quantity("f_b", "N/mm²")
def bending_stress(m, w_y):
    return np.abs(m) / w_y


@quantity("f_v", "N/mm²")
def shear_stress(v, area, shear_form):
    return shear_form * np.abs(v) / area
