"""Stresses from the forces of the analysis, and where each kind of stress is there at all. N/mm², compression and tension both >= 0."""

from __future__ import annotations

import numpy as np

from rules.library import quantity


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


@quantity("is pulled", "", says="timber in tension")
def is_pulled(n, axial_floor, is_timber):
    return (n > axial_floor) & is_timber


@quantity("is pressed", "", says="timber in compression")
def is_pressed(n, axial_floor, is_timber):
    return (n < -axial_floor) & is_timber


@quantity("is bent", "", says="timber with a bending moment")
def is_bent(m, moment_floor, is_timber):
    return (np.abs(m) > moment_floor) & is_timber


@quantity("is sheared", "", says="timber with a shear force")
def is_sheared(v, axial_floor, is_timber):
    return (np.abs(v) > axial_floor) & is_timber


@quantity("is bent and pulled", "", says="bending and tension at the same place")
def is_bent_and_pulled(is_bent, is_pulled):
    return is_bent & is_pulled


@quantity("is bent and pressed", "", says="bending and compression at the same place")
def is_bent_and_pressed(is_bent, is_pressed):
    return is_bent & is_pressed
