"""The forces that leave a line of braces or a diagonal, EN 1995-1-1 9.2.5.2 and 9.2.5.3. One place: an item of bracing.

A binder collects n F_d until an anchor takes it. Battens lie so close that a piece feels them as one bed, and share the load of the whole
system, q_d, by their spacing. A diagonal runs from the bearing up to the far end of the pieces: their foot hands half the system's load to
the bearing, the far end the other half to the diagonals, which share it. Every force acts both ways.
"""

from __future__ import annotations

import numpy as np

from rules.library import Citation, clause, quantity

NUMBERS = "equation numbers: Porteous and Kermani, Structural Timber Design to Eurocode 5, https://www.eurocode.us/structural-timber-design/info-lqo.html"
SYSTEM = clause("9.2.5.3(1)", equation="(9.37)", seen="memory", source=NUMBERS)
SHORTER = clause("9.2.5.3(1)", equation="(9.38)", seen="memory", source=NUMBERS)
LINE = clause("9.2.5.2(2)", equation="(9.35)", seen="memory", source=NUMBERS)
STATICS = Citation("statics of a row of braces", seen="practice", document="common practice, no published source", edition="2026")


@quantity("k_l", "1", cites=SHORTER)
def k_l_bracing(k_l_bracing_span, braced_span):
    return np.minimum(1.0, np.sqrt(k_l_bracing_span / braced_span))


@quantity("Q_d", "N", says="q_d l = k_l n N_d / k_f,3: all that keeps n pieces alike straight", cites=SYSTEM)
def system_force(k_l_bracing, count_alike, held_compression, k_f_3):
    return k_l_bracing * count_alike * held_compression / k_f_3


@quantity("q_d", "N/mm", cites=SYSTEM)
def system_load(system_force, braced_span):
    return system_force / braced_span


@quantity("n_a", "1", says="the components whose braces one anchor takes: n / anchors, rounded up", cites=STATICS)
def alike_per_anchor(count_alike, anchors):
    return np.ceil(count_alike / anchors - 1e-9)


@quantity("n_a F_d", "N", cites=LINE)
def binder_force(alike_per_anchor, crossing_force):
    return alike_per_anchor * crossing_force


@quantity("q_d a / anchors", "N", says="q_d a / anchors, no more of which count than there are components", cites=SYSTEM)
def batten_force(system_load, row_spacing, anchors, count_alike):
    return system_load * row_spacing / np.minimum(anchors, count_alike)


@quantity("F_dia", "N", says="Q_d / (2 m cos θ): half the system's force, shared by the diagonals of the plane", cites=STATICS)
def diagonal_force(system_force, diagonals, angle_cos):
    return system_force / 2.0 / (diagonals * angle_cos)


@quantity("N_b", "N", says="what one anchor of the line, or one diagonal, takes, either way: by its kind", cites=LINE)
def line_force(is_diagonal, diagonal_force, is_field, batten_force, binder_force):
    return np.where(is_diagonal, diagonal_force, np.where(is_field, batten_force, binder_force))


@quantity("presses on a line", "", says="a line of battens, binders or a diagonal whose pieces need keeping straight")
def carries_line(crossing_force, axial_floor, is_sheet, holds_pieces, is_diagonal):
    return (crossing_force > axial_floor) & ~is_sheet & (holds_pieces | is_diagonal)


@quantity("is a line", "", says="a line of battens or binders whose pieces need keeping straight")
def carries_row(carries_line, is_diagonal):
    return carries_line & ~is_diagonal


@quantity("is a diagonal", "", says="a diagonal that takes what lines of braces collect")
def carries_system(carries_line, is_diagonal):
    return carries_line & is_diagonal


@quantity("declared line", "", says="such a line whose fixings are declared, not stated as fasteners")
def line_by_declaration(carries_line, fastened):
    return carries_line & ~fastened


@quantity("declared row", "", says="such a row whose fixings are declared, not stated as fasteners")
def row_by_declaration(carries_row, fastened):
    return carries_row & ~fastened


@quantity("declared diagonal", "", says="such a diagonal whose fixings and anchorage are declared, not stated as fasteners")
def system_by_declaration(carries_system, fastened, anchor_fastened):
    return carries_system & ~fastened & ~anchor_fastened


@quantity("declared anchorage", "", says="such a line or diagonal whose anchorage is declared, not stated as fasteners")
def leaves_by_declaration(carries_line, anchor_fastened):
    return carries_line & ~anchor_fastened


@quantity("F_d", "N", says="the brace force of the piece that asks most", cites=LINE)
def crossing_force_taken(crossing_force):
    return crossing_force


@quantity(
    "F_fix", "N", says="F_d / cos θ: a diagonal pulls at its fixings along itself, any other brace square to the piece", cites=STATICS
)
def fixing_force(crossing_force_taken, angle_cos):
    return crossing_force_taken / angle_cos


@quantity("R_d", "N", cites=clause("2.4.3", equation="(2.17)", seen="read", source="LVL Handbook Europe 2025, p. 118"))
def fixing_resistance(fixing_with_k_mod, k_mod, fixing_declared, fixing_gamma):
    return np.where(fixing_with_k_mod, k_mod, 1.0) * fixing_declared / fixing_gamma


@quantity("R_d", "N", cites=clause("2.4.3", equation="(2.17)", seen="read", source="LVL Handbook Europe 2025, p. 118"))
def anchor_resistance(anchor_with_k_mod, k_mod, anchor_declared, anchor_gamma):
    return np.where(anchor_with_k_mod, k_mod, 1.0) * anchor_declared / anchor_gamma


@quantity("l_dia", "mm", says="length of a diagonal: braced length over sin θ", cites=STATICS)
def diagonal_length(braced_span, angle_sin):
    return braced_span / angle_sin


@quantity("A_b f_t,0,k", "N", says="what would tear the brace itself, whatever holds it", cites=clause("6.1.2", equation="(6.1)"))
def brace_tears(area, f_t_0_k):
    return area * f_t_0_k


@quantity("k_u", "N/mm", says="2/3 of the slip modulus, at the ultimate limit state", cites=clause("2.2.2(2)", equation="(2.1)"))
def fixing_stiffness(k_u_share, fixing_slip):
    return k_u_share * fixing_slip


@quantity("k_u", "N/mm", says="2/3 of the slip modulus, at the ultimate limit state", cites=clause("2.2.2(2)", equation="(2.1)"))
def anchor_stiffness(k_u_share, anchor_slip):
    return k_u_share * anchor_slip


@quantity("u", "mm", says="stretch and slip of the diagonal under its force, seen square to the pieces", cites=STATICS)
def system_deflection(diagonal_force, diagonal_length, e_0_mean, area, fixing_stiffness, anchor_stiffness, angle_cos):
    flexible = diagonal_length / (e_0_mean * area) + 1.0 / fixing_stiffness + 1.0 / anchor_stiffness
    return diagonal_force * flexible / angle_cos


@quantity("u_lim", "mm", cites=clause("9.2.5.3(4)", seen="memory"))
def system_deflection_limit(braced_span, bracing_deflection):
    return braced_span / bracing_deflection


@quantity("C", "N/mm", cites=clause("9.2.5.2(1)", equation="(9.34)", seen="memory", source=NUMBERS))
def needed_stiffness(k_s, held_compression, row_spacing):
    return k_s * held_compression / row_spacing


@quantity("A_b f_t,0,d", "N", cites=clause("6.1.2", equation="(6.1)"))
def brace_tension_resistance(area, f_t0d):
    return area * f_t0d


@quantity("k_c,z A_b f_c,0,d", "N", cites=clause("6.3.2(3)", equation="(6.24)"))
def brace_compression_resistance(area, k_cz, f_c0d):
    return area * k_cz * f_c0d
