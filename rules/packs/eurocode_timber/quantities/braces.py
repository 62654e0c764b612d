"""What braces must take from the pieces they hold (9.2.5.2), and what those pieces carry when nothing holds them.

The compression that braces keep straight is the push along the piece and, where an edge is relied on, the push in that edge from
bending (9.36), both in the same combination.
"""

from __future__ import annotations

import numpy as np

from rules.library import clause, quantity
from rules.packs.eurocode_timber.quantities import buckling

NUMBERS = "equation numbers and form: Porteous and Kermani, Structural Timber Design to Eurocode 5, chapter 9"
BRACE = clause("9.2.5.2(2)", equation="(9.35)", seen="memory", source=NUMBERS)
EDGE = clause("9.2.5.2(3)", equation="(9.36)", seen="read", source="https://www.eurocode.us/structural-timber-design/info-dnm.html")
WHOLE = clause("6.3.2(3)", equation="(6.26)", seen="read", source=buckling.STUD)
TIPPING = clause("6.3.3(4)", equation="(6.34)", seen="read", source=buckling.HANDBOOK)


@quantity("k_crit,0", "1", says="k_crit by (6.34) of the whole piece, nothing holding its edges between its ends", cites=TIPPING)
def k_crit_unbraced(
    piece_length, l_ef_moment, l_ef_edge_depths, h, b, e_0_05, g_05, torsion_constant, lateral_torsion_factor, is_solid_softwood, f_m_k,
    k_crit_start, k_crit_end, k_crit_constant, k_crit_slope,
):  # fmt: skip
    length = buckling.l_ef(piece_length, l_ef_moment, l_ef_edge_depths, h)
    softwood = buckling.sigma_m_crit_softwood(lateral_torsion_factor, b, h, e_0_05, length)
    general = buckling.sigma_m_crit_general(e_0_05, g_05, b, h, torsion_constant, length)
    slender = buckling.lambda_rel_m(f_m_k, buckling.sigma_m_crit(is_solid_softwood, softwood, general))
    return buckling.k_crit(slender, k_crit_start, k_crit_end, k_crit_constant, k_crit_slope)


@quantity("(1 − k_crit,0) M_d / h", "N", cites=EDGE)
def edge_compression(k_crit_unbraced, greatest_moment, h):
    return (1.0 - k_crit_unbraced) * greatest_moment / h


@quantity("N_d", "N", says="what the braces keep straight: the mean push, and the push in an edge that is relied on", cites=BRACE)
def braced_compression(mean_compression, relies_edge, edge_compression):
    return mean_compression + np.where(relies_edge, edge_compression, 0.0)


@quantity("F_d", "N", cites=BRACE)
def brace_force(braced_compression, k_f):
    return braced_compression / k_f


@quantity("k_c,z,0", "1", says="k_c,z by (6.26) over the whole length of the piece, nothing holding it", cites=WHOLE)
def k_cz_unbraced(piece_length, radius_z, f_c_0_k, e_0_05, beta_c, slenderness_limit):
    slender = buckling.lambda_rel_z(piece_length / radius_z, f_c_0_k, e_0_05)
    return buckling.k_cz(buckling.k_z(beta_c, slender, slenderness_limit), slender, slenderness_limit)


@quantity("N_Rd,0", "N", cites=WHOLE)
def unbraced_resistance(k_cz_unbraced, f_c0d, area):
    return k_cz_unbraced * f_c0d * area


@quantity("M_Rd,0", "N·mm", cites=TIPPING)
def unbraced_moment(k_crit_unbraced, f_myd, w_y):
    return k_crit_unbraced * f_myd * w_y


MOST_BRACES = 5


@quantity(
    "n_b",
    "1",
    says="the fewest braces, evenly spaced, with which k_c,z A f_c,0,d and k_c,y A f_c,0,d reach the push; without end if five do not",
    cites=WHOLE,
)
def braces_needed(n, area, f_c0d, k_cy, piece_length, radius_z, f_c_0_k, e_0_05, beta_c, slenderness_limit):  # fmt: skip
    push = np.maximum(-n, 0.0)
    fewest = np.full(np.broadcast_shapes(np.shape(push), np.shape(f_c0d)), np.inf)
    for braces in reversed(range(MOST_BRACES + 1)):
        free = k_cz_unbraced(piece_length / (braces + 1), radius_z, f_c_0_k, e_0_05, beta_c, slenderness_limit)
        fewest = np.where(push <= np.minimum(free, k_cy) * area * f_c0d, float(braces), fewest)
    return fewest
