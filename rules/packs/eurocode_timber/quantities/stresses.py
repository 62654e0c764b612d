"""Stresses from the forces of the analysis, and where each kind of stress is there at all. N/mm², compression and tension both >= 0."""

from __future__ import annotations

import numpy as np

from rules.library import clause, is_bent, is_sheared, quantity, sagging

__all__ = ["is_bent", "is_sheared", "sagging"]


@quantity("σ_t,0,d", "N/mm²")
def sigma_t(n, area):
    return np.maximum(n, 0.0) / area


@quantity("σ_c,0,d", "N/mm²")
def sigma_c(n, area):
    return np.maximum(-n, 0.0) / area


@quantity("σ_m,y,d", "N/mm²")
def sigma_my(m, w_y):
    return np.abs(m) / w_y


@quantity("σ_m,y,d/f_m,y,d", "1", says="share of the bending strength that is used")
def bending_use(sigma_my, f_myd):
    return sigma_my / f_myd


@quantity("τ_d", "N/mm²", cites=clause("6.1.7(2)", equation="(6.13a)"))
def tau(v, area, k_cr, shear_form):
    return shear_form * np.abs(v) / (k_cr * area)


@quantity("carries tension", "", says="timber in tension")
def carries_tension(n, axial_floor, is_timber):
    return (n > axial_floor) & is_timber


@quantity("carries compression", "", says="timber in compression")
def carries_compression(n, axial_floor, is_timber):
    return (n < -axial_floor) & is_timber


@quantity("is bent and pulled", "", says="bending and tension at the same place")
def is_bent_and_pulled(is_bent, carries_tension):
    return is_bent & carries_tension


@quantity("is bent and pressed", "", says="bending and compression at the same place")
def is_bent_and_pressed(is_bent, carries_compression):
    return is_bent & carries_compression
