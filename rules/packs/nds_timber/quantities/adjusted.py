"""Reference values adjusted, NDS Table 4.3.1. By allowable stress K_F, φ and λ are 1; by factored loads C_D is 1, and λ takes its place."""

from __future__ import annotations

import numpy as np

from rules.library import clause, quantity

ADJUSTED = clause(
    "Table 4.3.1",
    seen="read",
    source="factors of every value as applied in a university's solution set, https://web.mst.edu/jthomas/classes/5260/problem/04/017/index.html",
)
WET = clause("Supplement, Tables 4A and 4B")


@quantity("b_min", "mm", says="smaller side of one ply")
def smaller_side(b, h):
    return np.minimum(b, h)


@quantity("time", "1", cites=clause("2.3.2 and N.3.3"))
def time_effect(c_d, lambda_t):
    return c_d * lambda_t


@quantity("C_M", "1", cites=WET)
def c_m_b(f_b, c_f_b, c_m_b_free, c_m_b_wet):
    return np.where(f_b * c_f_b <= c_m_b_free, 1.0, c_m_b_wet)


@quantity("C_M", "1", cites=WET)
def c_m_c(f_c, c_f_c, c_m_c_free, c_m_c_wet):
    return np.where(f_c * c_f_c <= c_m_c_free, 1.0, c_m_c_wet)


@quantity(
    "C_r",
    "1",
    cites=clause("4.3.9"),
    says="1.15 where the design says that pieces share loads (repetitive), three or more are alike and they stand at most 24 inches apart",
)
def c_r(repetitive_held, count_alike, repetitive_count, component_spacing, repetitive_spacing, c_r_held):
    shared = (count_alike >= repetitive_count) & (component_spacing <= repetitive_spacing) & (repetitive_held > 0.0)
    return np.where(shared, c_r_held, 1.0)


@quantity("flat", "", says="bent about its weak axis")
def is_flat(b, h):
    return h < b


@quantity("C_fu", "1", cites=WET)
def c_fu(is_flat, flat_use):
    return np.where(is_flat, flat_use, 1.0)


@quantity("F_t'", "N/mm²", cites=ADJUSTED)
def f_t_adjusted(f_t, time_effect, c_m_t_wet, c_t_tension, c_f_t, c_i, kf_t, phi_t):
    return f_t * time_effect * c_m_t_wet * c_t_tension * c_f_t * c_i * kf_t * phi_t


@quantity("F_v'", "N/mm²", cites=ADJUSTED)
def f_v_adjusted(f_v, time_effect, c_m_v_wet, c_t, c_i, kf_v, phi_v):
    return f_v * time_effect * c_m_v_wet * c_t * c_i * kf_v * phi_v


@quantity("F_b*", "N/mm²", cites=ADJUSTED, says="F_b with every factor but C_fu and C_L")
def f_b_star(f_b, time_effect, c_m_b, c_t, c_f_b, c_i, c_r, kf_b, phi_b):
    return f_b * time_effect * c_m_b * c_t * c_f_b * c_i * c_r * kf_b * phi_b


@quantity("F_c*", "N/mm²", cites=ADJUSTED, says="F_c with every factor but C_P")
def f_c_star(f_c, time_effect, c_m_c, c_t, c_f_c, c_i, kf_c, phi_c):
    return f_c * time_effect * c_m_c * c_t * c_f_c * c_i * kf_c * phi_c


@quantity("E_min'", "N/mm²", cites=ADJUSTED)
def e_min_adjusted(e_min, c_m_e_wet, c_t_tension, c_i_e, kf_s, phi_s):
    return e_min * c_m_e_wet * c_t_tension * c_i_e * kf_s * phi_s
