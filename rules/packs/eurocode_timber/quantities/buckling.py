"""Column buckling (6.3.2) and lateral torsion (6.3.3) of one piece. Out of plane each ply of several buckles alone."""

from __future__ import annotations

import math

import numpy as np

from rules.library import clause, quantity

STUD = "Porteous and Kermani, Structural Timber Design to Eurocode 5, chapter 5"
HANDBOOK = "LVL Handbook Europe 2025, pp. 131-132"
COLUMN = "LVL Handbook Europe 2025, p. 198"


@quantity("λ_y", "1")
def slenderness_y(length_y, radius_y):
    return length_y / radius_y


@quantity("λ_z", "1")
def slenderness_z(length_z, radius_z):
    return length_z / radius_z


@quantity("λ_rel,y", "1", cites=clause("6.3.2(1)", equation="(6.21)", seen="read", source=COLUMN))
def lambda_rel_y(slenderness_y, f_c_0_k, e_0_05):
    return slenderness_y / math.pi * np.sqrt(f_c_0_k / e_0_05)


@quantity("λ_rel,z", "1", cites=clause("6.3.2(1)", equation="(6.22)", seen="read", source=COLUMN))
def lambda_rel_z(slenderness_z, f_c_0_k, e_0_05):
    return slenderness_z / math.pi * np.sqrt(f_c_0_k / e_0_05)


@quantity("k_y", "1", cites=clause("6.3.2(3)", equation="(6.27)", seen="read", source=STUD))
def k_y(beta_c, lambda_rel_y, slenderness_limit):
    return 0.5 * (1.0 + beta_c * (lambda_rel_y - slenderness_limit) + lambda_rel_y**2)


@quantity("k_z", "1", cites=clause("6.3.2(3)", equation="(6.28)", seen="read", source=STUD))
def k_z(beta_c, lambda_rel_z, slenderness_limit):
    return 0.5 * (1.0 + beta_c * (lambda_rel_z - slenderness_limit) + lambda_rel_z**2)


@quantity("k_c,y", "1", cites=clause("6.3.2(3)", equation="(6.25)", seen="read", source=STUD))
def k_cy(k_y, lambda_rel_y, slenderness_limit):
    return np.where(lambda_rel_y <= slenderness_limit, 1.0, 1.0 / (k_y + np.sqrt(np.maximum(k_y**2 - lambda_rel_y**2, 0.0))))


@quantity("k_c,z", "1", cites=clause("6.3.2(3)", equation="(6.26)", seen="read", source=STUD))
def k_cz(k_z, lambda_rel_z, slenderness_limit):
    return np.where(lambda_rel_z <= slenderness_limit, 1.0, 1.0 / (k_z + np.sqrt(np.maximum(k_z**2 - lambda_rel_z**2, 0.0))))


@quantity("stocky", "", cites=clause("6.3.2(2)"), says="both relative slendernesses at most 0.3")
def is_stocky(lambda_rel_y, lambda_rel_z, slenderness_limit):
    return (lambda_rel_y <= slenderness_limit) & (lambda_rel_z <= slenderness_limit)


@quantity("l", "mm", says="length between the restraints of the edge that this moment compresses")
def compressed_edge_length(sagging, length_top, length_bottom):
    return np.where(sagging >= 0.0, length_top, length_bottom)


@quantity("l_ef", "mm", cites=clause("6.3.3(3) and Table 6.1", seen="read", source=HANDBOOK))
def l_ef(compressed_edge_length, l_ef_moment, l_ef_edge_depths, h):
    return l_ef_moment * compressed_edge_length + l_ef_edge_depths * h


@quantity("G_0,05", "N/mm²", cites=clause("common practice, no published source", seen="practice"))
def g_05(e_0_05, e_over_g):
    return e_0_05 / e_over_g


@quantity(
    "I_tor",
    "mm⁴",
    says="torsion constant of the rectangle, (1 − 0.63 t/d)/3 · d·t³ with t the smaller side",
    cites=clause("6.3.3", seen="read", source=HANDBOOK),
)
def torsion_constant(b, h):
    thin, deep = np.minimum(b, h), np.maximum(b, h)
    return (1.0 - 0.63 * thin / deep) / 3.0 * deep * thin**3


@quantity("σ_m,crit", "N/mm²", cites=clause("6.3.3(2)", equation="(6.31)", seen="read", source=HANDBOOK))
def sigma_m_crit_general(e_0_05, g_05, b, h, torsion_constant, l_ef):
    return math.pi * np.sqrt(e_0_05 * (h * b**3 / 12.0) * g_05 * torsion_constant) / (l_ef * (b * h**2 / 6.0))


@quantity("σ_m,crit", "N/mm²", cites=clause("6.3.3(3)", equation="(6.32)"))
def sigma_m_crit_softwood(lateral_torsion_factor, b, h, e_0_05, l_ef):
    return lateral_torsion_factor * b**2 * e_0_05 / (h * l_ef)


@quantity("σ_m,crit", "N/mm²", says="(6.32) for solid softwood, (6.31) for everything else")
def sigma_m_crit(is_solid_softwood, sigma_m_crit_softwood, sigma_m_crit_general):
    return np.where(is_solid_softwood, sigma_m_crit_softwood, sigma_m_crit_general)


@quantity("λ_rel,m", "1", cites=clause("6.3.3(2)", equation="(6.30)", seen="read", source=HANDBOOK))
def lambda_rel_m(f_m_k, sigma_m_crit):
    return np.sqrt(f_m_k / sigma_m_crit)


@quantity(
    "k_crit",
    "1",
    cites=clause("6.3.3(4)", equation="(6.34)", seen="read", source=HANDBOOK),
    says="1 up to 0.75, 1.56 − 0.75 λ_rel,m up to 1.4, 1/λ_rel,m² beyond",
)
def k_crit(lambda_rel_m, k_crit_start, k_crit_end, k_crit_constant, k_crit_slope):
    middle = k_crit_constant - k_crit_slope * lambda_rel_m
    return np.where(lambda_rel_m <= k_crit_start, 1.0, np.where(lambda_rel_m <= k_crit_end, middle, 1.0 / lambda_rel_m**2))
