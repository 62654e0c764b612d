"""Design capacities of sawn timber, AS 1720.1 section 3. N and N·mm; sideways each ply of several buckles alone; no strength sharing (k_9 = 1)."""

from __future__ import annotations

from typing import Any

import numpy as np

from rules.library import quantity
from rules.packs.australia_timber.quantities.restated import restated

STABLE = restated("3.2.4 and 3.3.3")


@quantity("φ k_1 k_4 k_6", "1", cites=restated("2.1.2"))
def factors(phi, k_1, k_4, k_6):
    return phi * k_1 * k_4 * k_6


@quantity("ρ_b", "1", cites=restated("Appendix E, E2"))
def rho_b(rho_b_factor, e_0_mean, f_b, rho_b_power, passing_share, rho_b_share):
    return rho_b_factor * (e_0_mean / f_b) ** -rho_b_power * passing_share**-rho_b_share


@quantity("ρ_c", "1", cites=restated("Appendix E, E2"))
def rho_c(rho_c_factor, e_0_mean, f_c, rho_c_power, passing_share, rho_c_share):
    return rho_c_factor * (e_0_mean / f_c) ** -rho_c_power * passing_share**-rho_c_share


@quantity("S_1", "1", cites=restated("3.2.3.2"), says="1.25 (d/b) √(L_ay/d); nought for a piece no deeper than wide, which does not tip")
def s_1(is_deep, slenderness_beam, h, b, unsupported_length):
    return np.where(is_deep, slenderness_beam * h / b * np.sqrt(unsupported_length / h), 0.0)


@quantity("S_3", "1", cites=restated("3.3.2.2"))
def s_3(length_y, h):
    return length_y / h


@quantity("S_4", "1", cites=restated("3.3.2.2"))
def s_4(length_z, b):
    return length_z / b


def _stability(slender: Any, start: float, turn: float, constant: float, slope: float, elastic: float) -> Any:
    """1 up to ρS = 10, 1.5 − 0.05 ρS up to 20, 200/(ρS)² beyond."""
    with np.errstate(divide="ignore"):
        return np.where(slender <= start, 1.0, np.where(slender <= turn, constant - slope * slender, elastic / slender**2))


@quantity("k_12,b", "1", cites=STABLE, says="1 up to ρ_b S_1 = 10, 1.5 − 0.05 ρ_b S_1 up to 20, 200/(ρ_b S_1)² beyond")
def k_12_beam(rho_b, s_1, k_12_start, k_12_turn, k_12_constant, k_12_slope, k_12_elastic):
    return _stability(rho_b * s_1, k_12_start, k_12_turn, k_12_constant, k_12_slope, k_12_elastic)


@quantity("k_12,x", "1", cites=STABLE, says="the same of ρ_c S_3")
def k_12_in_plane(rho_c, s_3, k_12_start, k_12_turn, k_12_constant, k_12_slope, k_12_elastic):
    return _stability(rho_c * s_3, k_12_start, k_12_turn, k_12_constant, k_12_slope, k_12_elastic)


@quantity("k_12,y", "1", cites=STABLE, says="the same of ρ_c S_4")
def k_12_sideways(rho_c, s_4, k_12_start, k_12_turn, k_12_constant, k_12_slope, k_12_elastic):
    return _stability(rho_c * s_4, k_12_start, k_12_turn, k_12_constant, k_12_slope, k_12_elastic)


@quantity("M_d", "N·mm", cites=restated("3.2.1"))
def moment_capacity(factors, k_12_beam, f_b, w_y):
    return factors * k_12_beam * f_b * w_y


@quantity("f'_t (d)", "N/mm²", cites=restated("Table H2.1, note 2"), says="f'_t (150/d)^0.167 for visual grades above 150 mm")
def f_t_of_size(f_t, tension_depth, largest_side, tension_exponent):
    return f_t * np.minimum(tension_depth / largest_side, 1.0) ** tension_exponent


@quantity("N_d,t", "N", cites=restated("3.4.1"))
def tension_capacity(factors, f_t_of_size, area):
    return factors * f_t_of_size * area


@quantity("N_d,cx", "N", cites=restated("3.3.1.1"))
def compression_in_plane(factors, k_12_in_plane, f_c, area):
    return factors * k_12_in_plane * f_c * area


@quantity("N_d,cy", "N", cites=restated("3.3.1.1"))
def compression_sideways(factors, k_12_sideways, f_c, area):
    return factors * k_12_sideways * f_c * area


@quantity("V_d", "N", cites=restated("3.2.5"))
def shear_capacity(factors, f_s, shear_share, area):
    return factors * f_s * shear_share * area
