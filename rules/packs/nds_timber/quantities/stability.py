"""Stability of columns and beams, NDS 3.7.1 and 3.3.3. Sideways each ply of several buckles alone; lengths are effective lengths with K_e = 1."""

from __future__ import annotations

import numpy as np

from rules.library import clause, quantity

COLUMN = clause("3.7.1", equation="(3.7-1)", seen="read", source="http://www.wikiengineer.com/Structural/ColumnStabilityFactor")
BEAM = clause(
    "3.3.3",
    equation="(3.3-6)",
    seen="read",
    source="numbers of American Wood Council, Structural Wood Design Examples 2015/2018, example E1.2a; the formula from memory",
)


@quantity("l_e1/d_1", "1", says="slenderness in the plane of the frame")
def slenderness_in_plane(length_y, h):
    return length_y / h


@quantity("l_e2/d_2", "1", says="slenderness sideways, of one ply")
def slenderness_sideways(length_z, b):
    return length_z / b


@quantity("F_cE1", "N/mm²", cites=COLUMN)
def f_ce_in_plane(column_factor, e_min_adjusted, slenderness_in_plane):
    return column_factor * e_min_adjusted / slenderness_in_plane**2


@quantity("F_cE2", "N/mm²", cites=COLUMN)
def f_ce_sideways(column_factor, e_min_adjusted, slenderness_sideways):
    return column_factor * e_min_adjusted / slenderness_sideways**2


@quantity("F_cE", "N/mm²", cites=COLUMN)
def f_ce(f_ce_in_plane, f_ce_sideways):
    return np.minimum(f_ce_in_plane, f_ce_sideways)


@quantity("r", "1", cites=COLUMN)
def column_ratio(f_ce, f_c_star):
    return f_ce / f_c_star


@quantity("C_P", "1", cites=COLUMN)
def c_p(column_ratio, c_column):
    return (1.0 + column_ratio) / (2.0 * c_column) - np.sqrt(((1.0 + column_ratio) / (2.0 * c_column)) ** 2 - column_ratio / c_column)


@quantity("F_c'", "N/mm²", cites=COLUMN)
def f_c_adjusted(f_c_star, c_p):
    return f_c_star * c_p


@quantity("l_u", "mm", says="length between the restraints of the edge that this moment compresses")
def unsupported_length(sagging, length_top, length_bottom):
    return np.where(sagging >= 0.0, length_top, length_bottom)


@quantity("l_u/d", "1")
def length_in_depths(unsupported_length, h):
    return unsupported_length / h


@quantity("l_e", "mm", cites=clause("Table 3.3.3"))
def beam_length(le_factor, unsupported_length, le_depths, h):
    return le_factor * unsupported_length + le_depths * h


@quantity("R_B", "1", cites=BEAM, says="√(l_e d / b²); nought for a piece no deeper than wide, which does not tip")
def r_b(is_deep, beam_length, h, b):
    return np.where(is_deep, np.sqrt(beam_length * h / b**2), 0.0)


@quantity("F_bE", "N/mm²", cites=BEAM, says="1.20 E_min' / R_B²; without end for a piece that does not tip")
def f_be(beam_factor, e_min_adjusted, r_b):
    with np.errstate(divide="ignore"):
        return np.where(r_b > 0.0, beam_factor * e_min_adjusted / r_b**2, np.inf)


@quantity("C_L", "1", cites=BEAM, says="(1 + q)/1.9 − √(((1 + q)/1.9)² − q/0.95), q = F_bE / F_b*; 1 for a piece that does not tip")
def c_l(f_be, f_b_star, beam_constant, beam_constant_q):
    ratio = np.where(np.isfinite(f_be), f_be, 1.0) / f_b_star
    half = (1.0 + ratio) / beam_constant
    return np.where(np.isfinite(f_be), half - np.sqrt(half**2 - ratio / beam_constant_q), 1.0)


@quantity("F_b'", "N/mm²", cites=BEAM)
def f_b_adjusted(f_b_star, c_l, c_fu):
    return f_b_star * c_l * c_fu
