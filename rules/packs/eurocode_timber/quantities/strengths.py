"""Design strengths of EN 1995-1-1 section 2.4 and the size factors of section 3. N/mm², arrays over (combination, place)."""

from __future__ import annotations

import numpy as np

from rules.library import clause, quantity

HANDBOOK = "LVL Handbook Europe 2025, p. 118"


@quantity("γ_M", "1", cites=clause("2.4.1 and Table 2.3"))
def gamma_m_d(gamma_m, gamma_m_accidental, is_accidental):
    return np.where(is_accidental, gamma_m_accidental, gamma_m)


SIZE = clause("3.2(3), 3.3(3), 3.4(3)", equation="(3.1), (3.2), (3.3)", seen="read", source="an open table of Eurocode data, 2026")


@quantity("k_h", "1", cites=SIZE)
def k_h_m(h, k_h_depth, k_h_exponent, k_h_min, k_h_most):
    return np.clip((k_h_depth / h) ** k_h_exponent, k_h_min, k_h_most)


@quantity("k_h,max", "1", cites=clause("3.2(3)"), says="the greatest size factor; 1 for solid timber too dense to have one")
def k_h_most(k_h_max, is_solid, rho_k, k_h_density_limit):
    return np.where(is_solid & (rho_k > k_h_density_limit), 1.0, k_h_max)


@quantity("k_h,t", "1", cites=SIZE)
def k_h_side(largest_side, k_h_depth, k_h_exponent, k_h_min, k_h_most):
    return np.clip((k_h_depth / largest_side) ** k_h_exponent, k_h_min, k_h_most)


@quantity("k_l", "1", cites=clause("3.4(4)", equation="(3.4)"))
def k_l(piece_length, k_l_length, k_l_exponent, k_l_max):
    return np.minimum((k_l_length / piece_length) ** k_l_exponent, k_l_max)


@quantity("k_t", "1", says="k_l for laminated veneer lumber, which has a length factor in tension, k_h,t for everything else")
def k_h_t(is_lvl, k_l, k_h_side):
    return np.where(is_lvl, k_l, k_h_side)


SYSTEM = clause("6.6", seen="memory", source="k_sys: Porteous and Kermani, Structural Timber Design to Eurocode 5, https://www.eurocode.us")


@quantity(
    "shared",
    "",
    says="single pieces under what spreads the load, evenly loaded, close and many enough, joined by pieces that run over enough gaps with staggered joints",
    cites=SYSTEM,
)
def is_shared(
    takes_part, is_even, is_staggered, sharing_spans, sharing_spans_least, count_alike, sharing_count_least, spacing, sharing_spacing
):
    enough = (sharing_spans >= sharing_spans_least) & (count_alike >= sharing_count_least)
    return takes_part & is_even & is_staggered & enough & (spacing <= sharing_spacing)


@quantity("s_max", "mm", says="greatest spacing at which load is shared: of roof trusses, and of joists and rafters", cites=SYSTEM)
def sharing_spacing(is_truss_roof, sharing_spacing_trusses, sharing_spacing_others):
    return np.where(is_truss_roof, sharing_spacing_trusses, sharing_spacing_others)


@quantity("k_sys", "1", says="1.1 where load is shared between neighbours, and all its conditions are stated; else 1", cites=SYSTEM)
def k_sys(is_shared, k_sys_shared):
    return np.where(is_shared, k_sys_shared, 1.0)


@quantity("f_t,0,d", "N/mm²", cites=clause("2.4.1", equation="(2.14)", seen="read", source=HANDBOOK))
def f_t0d(k_mod, k_h_t, f_t_0_k, gamma_m_d):
    return k_mod * k_h_t * f_t_0_k / gamma_m_d


@quantity("f_c,0,d", "N/mm²", cites=clause("2.4.1", equation="(2.14)", seen="read", source=HANDBOOK))
def f_c0d(k_mod, f_c_0_k, gamma_m_d):
    return k_mod * f_c_0_k / gamma_m_d


@quantity("f_m,y,d", "N/mm²", cites=clause("2.4.1", equation="(2.14)", seen="read", source=HANDBOOK))
def f_myd(k_mod, k_h_m, k_sys, f_m_k, gamma_m_d):
    return k_mod * k_h_m * k_sys * f_m_k / gamma_m_d


@quantity("f_v,d", "N/mm²", cites=clause("2.4.1", equation="(2.14)", seen="read", source=HANDBOOK))
def f_vd(k_mod, k_sys, f_v_k, gamma_m_d):
    return k_mod * k_sys * f_v_k / gamma_m_d


@quantity("f_c,90,d", "N/mm²", cites=clause("2.4.1", equation="(2.14)", seen="read", source=HANDBOOK))
def f_c90d(k_mod, f_c_90_k, gamma_m_d):
    return k_mod * f_c_90_k / gamma_m_d
