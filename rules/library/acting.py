"""Which forces act where: quantities that mean the same in every tradition. A pack takes those it needs by importing them."""

from __future__ import annotations

import numpy as np

from rules.library.quantity import quantity


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


@quantity("M_sag", "N·mm", says="the moment read from the piece's first node with up as up: positive pulls the lower edge")
def sagging(m, upwards):
    return m * upwards


@quantity("deep", "", says="deeper than wide")
def is_deep(b, h):
    return h > b


@quantity("presses down", "", says="a downward force on timber that bears")
def presses_down(down, axial_floor, is_timber):
    return (down > axial_floor) & is_timber


@quantity("l", "mm", says="length between the restraints of the edge that this moment compresses")
def unsupported_length(sagging, length_top, length_bottom):
    return np.where(sagging >= 0.0, length_top, length_bottom)


@quantity("cut", "", says="timber with holes or notches")
def has_cuts(is_hole, is_notch, is_odd_cut, is_timber):
    return (is_hole | is_notch | is_odd_cut) & is_timber
