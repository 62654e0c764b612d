"""Vibration of floors, EN 1995-1-1 7.3: frequency, movement under 1 kN, velocity after an impulse. One place: the whole floor.

Lengths of the design stand in mm; the code's formulas want metres, kg/m² and N·m²/m, and the first quantities below make them.
"""

from __future__ import annotations

import math

import numpy as np

from rules.library import clause, quantity

IMAGE = "LVL Handbook Europe 2025, pp. 140, 184, https://proofer.faktor.fi/epaper/LVLHandbook_2025/140"
SHARING = clause(
    "NA.2.7.2 of the United Kingdom",
    seen="read",
    source="form of the equation, Porteous and Kermani, Structural Timber Design to Eurocode 5, https://www.eurocode.us/structural-timber-design/info-byp.html",
)
FREQUENCY = clause("7.3.3(4)", equation="(7.5)", seen="read", source=IMAGE)
IMPULSE = clause("7.3.3(5)", equation="(7.6), (7.7)", seen="read", source=IMAGE)


@quantity("l", "m", says="the longest span in metres")
def span_m(longest_span):
    return longest_span / 1000.0


@quantity("B", "m", says="the width of the floor in metres")
def width_m(floor_width):
    return floor_width / 1000.0


@quantity("m_even", "kg/m²", says="g / (g_0 s): permanent load spread evenly, over the acceleration of free fall and the spacing")
def even_mass(permanent_even, gravity, joist_spacing):
    return permanent_even / gravity / joist_spacing * 1e6


@quantity("m", "kg/m²", says="that, and twice what is not spread evenly over its span, as it counts at mid-span; no imposed load")
def floor_mass(even_mass, permanent_uneven, gravity, joist_spacing, longest_span):
    return even_mass + 2.0 * permanent_uneven / longest_span / gravity / joist_spacing * 1e6


@quantity("is solid", "", says="solid joists, not trusses")
def is_solid_joist(floor_kind):
    return floor_kind.equals("solid")


@quantity("η_EI", "1", says="1 for solid joists; k_amp for trusses, whose chords alone are stiffer than they are with webs and joints")
def softening(is_solid_joist, k_amp):
    return np.where(is_solid_joist, 1.0, k_amp)


@quantity("(EI)_l", "N·m²/m", says="(EI)_joist / (η_EI s), in metres")
def stiffness_along(joist_stiffness, softening, joist_spacing):
    return joist_stiffness / softening / joist_spacing / 1000.0


@quantity("f_1", "Hz", cites=FREQUENCY)
def f_1(span_m, stiffness_along, floor_mass):
    return math.pi / (2.0 * span_m**2) * np.sqrt(stiffness_along / floor_mass)


@quantity("l_eq", "mm", says="the greatest of the span alone, 0.9 of an end span and 0.85 of an inner span", cites=SHARING)
def l_eq(span_alone, l_eq_end, span_end, l_eq_inner, span_inner):
    return np.maximum(span_alone, np.maximum(l_eq_end * span_end, l_eq_inner * span_inner))


@quantity("k_strut", "1", says="0.97 for solid joists with strutting, or blocking at least three quarters as deep; else 1", cites=SHARING)
def k_strut(is_solid_joist, strutting_rows, blocking_depth, blocking_share, joist_depth, k_strut_held):
    strutted = (strutting_rows > 0.0) | (blocking_depth >= blocking_share * joist_depth)
    return np.where(is_solid_joist & strutted, k_strut_held, 1.0)


@quantity("k_dist", "1", says="max(k_strut (0.38 − 0.08 ln(14 (EI)_b / s⁴)), 0.30), (EI)_b in N·mm²/m", cites=SHARING)
def k_dist(k_strut, k_dist_constant, k_dist_slope, k_dist_factor, deck_stiffness, joist_spacing, k_dist_least):
    shared = k_dist_constant - k_dist_slope * np.log(k_dist_factor * deck_stiffness * 1e6 / joist_spacing**4)
    return np.maximum(k_strut * shared, k_dist_least)


@quantity("w_1", "mm", says="1000 k_dist l_eq³ k_amp / (48 (EI)_joist): movement under 1 kN", cites=SHARING)
def w_1(k_dist, l_eq, k_amp, joist_stiffness):
    return 1000.0 * k_dist * l_eq**3 * k_amp / (48.0 * joist_stiffness)


@quantity("a", "mm", says="the limit for 1 kN: a_max, or a_0 / l^n where that is less", cites=clause("7.3.3(2)", equation="(7.3)"))
def a_limit(vibration_a_most, vibration_a_factor, longest_span, vibration_a_exponent):
    return np.minimum(vibration_a_most, vibration_a_factor / longest_span**vibration_a_exponent)


@quantity(
    "a_b", "mm", says="the movement that decides b: what the floor has where that can be worked out, which is the stricter, else the limit"
)
def a_of_floor(point_sharing_held, w_1, a_limit):
    return np.where(point_sharing_held > 0.0, np.minimum(w_1, a_limit), a_limit)


@quantity("b", "1", says="180 − 60 a up to a = 1 mm, 160 − 40 a beyond", cites=clause("7.3.3(2) and Figure 7.2"))
def b_limit(a_of_floor, vibration_b_stiff, vibration_b_stiff_slope, vibration_b_soft, vibration_b_soft_slope):
    stiff = vibration_b_stiff - vibration_b_stiff_slope * a_of_floor
    return np.where(a_of_floor <= 1.0, stiff, vibration_b_soft - vibration_b_soft_slope * a_of_floor)


@quantity("n_40", "1", cites=IMPULSE)
def n_40(mode_frequency, f_1, width_m, span_m, stiffness_along, deck_stiffness):
    return (np.maximum((mode_frequency / f_1) ** 2 - 1.0, 0.0) * (width_m / span_m) ** 4 * stiffness_along / deck_stiffness) ** 0.25


@quantity("v", "m/(N·s²)", says="4 (0.4 + 0.6 n_40) / (m B l + 200), m without what is not spread evenly", cites=IMPULSE)
def impulse_velocity(impulse_factor, impulse_base, impulse_slope, n_40, even_mass, width_m, span_m, impulse_mass):
    return impulse_factor * (impulse_base + impulse_slope * n_40) / (even_mass * width_m * span_m + impulse_mass)


@quantity("v_lim", "m/(N·s²)", cites=clause("7.3.3(2)", equation="(7.4)", seen="read", source=IMAGE))
def impulse_limit(b_limit, f_1, zeta):
    return b_limit ** (f_1 * zeta - 1.0)
