"""Factored resistances of sawn lumber, CSA O86 section 6. N and N·mm; sideways each ply of several buckles alone."""

from __future__ import annotations

import math

import numpy as np

from rules.library import clause, quantity
from rules.packs.canada_timber.quantities.restated import BEAMS, restated


@quantity("b_min", "mm", says="smaller side of one ply")
def smaller_side(b, h):
    return np.minimum(b, h)


@quantity(
    "K_D",
    "1",
    cites=restated("5.3.2"),
    says="1 − 0.50 log(P_L/P_S), at least 0.65, where permanent load outweighs standard-term load; else by the shortest load",
)
def k_d(k_d_table, duration, permanent_over_variable, k_d_slope, k_d_least):
    heavy = k_d_table - k_d_slope * np.log10(np.maximum(permanent_over_variable, 1.0))
    return np.where(duration.equals("medium"), np.maximum(heavy, k_d_least), k_d_table)


@quantity("F_b", "N/mm²", cites=restated("6.5.4.1"))
def f_b_factored(f_b, k_d, k_s_b, k_t):
    return f_b * k_d * k_s_b * k_t


@quantity("F_v", "N/mm²", cites=restated("6.5.5.1"))
def f_v_factored(f_v, k_d, k_s_v, k_t):
    return f_v * k_d * k_s_v * k_t


@quantity("F_c", "N/mm²", cites=restated("6.5.6.2"))
def f_c_factored(f_c, k_d, k_s_c, k_t):
    return f_c * k_d * k_s_c * k_t


@quantity("F_t", "N/mm²", cites=clause("6.5.9"))
def f_t_factored(f_t, k_d, k_s_t, k_t):
    return f_t * k_d * k_s_t * k_t


@quantity("E_05 K_SE K_T", "N/mm²", cites=restated("6.5.6.2.4"))
def e_05_adjusted(e_05, k_s_e, k_t_e):
    return e_05 * k_s_e * k_t_e


@quantity("C_B", "1", cites=restated("7.5.6.4.3", BEAMS), says="√(1.92 l d)/b; nought for a piece no deeper than wide, which does not tip")
def c_b(is_deep, beam_length_factor, unsupported_length, h, b):
    return np.where(is_deep, np.sqrt(beam_length_factor * unsupported_length * h) / b, 0.0)


@quantity("C_K", "1", cites=restated("7.5.6.4.4", BEAMS))
def c_k(beam_turn, e_0_mean, k_s_e, k_t_e, f_b_factored):
    return np.sqrt(beam_turn * e_0_mean * k_s_e * k_t_e / f_b_factored)


@quantity(
    "K_L",
    "1",
    cites=restated("7.5.6.4.4", BEAMS),
    says="1 up to C_B = 10, 1 − (C_B/C_K)⁴/3 up to C_K, 0.65 E/(C_B² F_b) up to 50, nought beyond",
)
def k_l(c_b, c_k, beam_short, beam_elastic, e_0_mean, k_s_e, k_t_e, f_b_factored, slenderness_most):
    with np.errstate(divide="ignore"):
        elastic = beam_elastic * e_0_mean * k_s_e * k_t_e / (c_b**2 * f_b_factored)
    tips = np.where(c_b <= c_k, 1.0 - (c_b / c_k) ** 4 / 3.0, elastic)
    return np.where(c_b <= beam_short, 1.0, np.where(c_b < slenderness_most, tips, 1e-9))


@quantity("M_r", "N·mm", cites=restated("6.5.4.1"))
def moment_resistance(phi, f_b_factored, w_y, k_zb, k_l):
    return phi * f_b_factored * w_y * k_zb * k_l


@quantity("T_r", "N", cites=clause("6.5.9"))
def tension_resistance(phi, f_t_factored, area, k_zt):
    return phi * f_t_factored * area * k_zt


@quantity("C_c,y", "1", cites=restated("6.5.6.1"))
def c_c_in_plane(length_y, h):
    return length_y / h


@quantity("C_c,z", "1", cites=restated("6.5.6.1"))
def c_c_sideways(length_z, b):
    return length_z / b


@quantity("K_Zc,y", "1", cites=restated("6.5.6.2.3"))
def k_zc_in_plane(k_zc_factor, h, length_y, k_zc_exponent, k_zc_most):
    return np.minimum(k_zc_factor * (h * length_y) ** -k_zc_exponent, k_zc_most)


@quantity("K_Zc,z", "1", cites=restated("6.5.6.2.3"))
def k_zc_sideways(k_zc_factor, b, length_z, k_zc_exponent, k_zc_most):
    return np.minimum(k_zc_factor * (b * length_z) ** -k_zc_exponent, k_zc_most)


@quantity("K_C,y", "1", cites=restated("6.5.6.2.4"))
def k_c_in_plane(f_c_factored, k_zc_in_plane, c_c_in_plane, column_35, e_05_adjusted):
    return 1.0 / (1.0 + f_c_factored * k_zc_in_plane * c_c_in_plane**3 / (column_35 * e_05_adjusted))


@quantity("K_C,z", "1", cites=restated("6.5.6.2.4"))
def k_c_sideways(f_c_factored, k_zc_sideways, c_c_sideways, column_35, e_05_adjusted):
    return 1.0 / (1.0 + f_c_factored * k_zc_sideways * c_c_sideways**3 / (column_35 * e_05_adjusted))


@quantity("P_r", "N", cites=restated("6.5.6.2.3"), says="φ F_c A K_Zc K_C, the lesser of both directions")
def compression_resistance(phi_c, f_c_factored, area, k_zc_in_plane, k_c_in_plane, k_zc_sideways, k_c_sideways):
    return phi_c * f_c_factored * area * np.minimum(k_zc_in_plane * k_c_in_plane, k_zc_sideways * k_c_sideways)


@quantity("P_E", "N", cites=clause("6.5.10"), says="π² E_05 I/l² in the plane of the frame")
def euler_load(e_05_adjusted, area, h, length_y):
    return math.pi**2 * e_05_adjusted * area * h**2 / 12.0 / length_y**2


@quantity("V_r", "N", cites=restated("6.5.5.1"))
def shear_resistance(phi, f_v_factored, shear_share, area, k_zb):
    return phi * f_v_factored * shear_share * area * k_zb
