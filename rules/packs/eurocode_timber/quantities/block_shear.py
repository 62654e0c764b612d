"""Timber torn out as a block or plug by fasteners under steel that pull along its grain near an end, EN 1995-1-1 Annex A. N, mm.

Taken on the safe side: of the modes in which a fastener bends or turns the least depth counts, whichever of them governs; the end stated for any of
the timbers is the end; strength in tension is that of a deep section; lines that are not full count only where they are.
"""

from __future__ import annotations

import numpy as np

from rules.library import clause, quantity
from rules.packs.eurocode_timber.quantities import dowels, fasteners

SWEDISH = "Design of timber structures, volume 1 (2016), 4.9.3.1, https://fliphtml5.com/dafzv/evfk/design-of-timber-structures-1-2016/137"
FRENCH = "an open class of joints to EN 1995-1-1 in French, no stable address"
BLOCK = clause("Annex A(1)", equation="(A.1)", seen="read", source=SWEDISH)
AREAS = clause(
    "Annex A(1)", equation="(A.2)-(A.5)", seen="read", source=f"{FRENCH}; the net lengths: {fasteners.HANDBOOK.format(153)} and 154"
)
DEPTHS = clause(
    "Annex A(1)", equation="(A.6), (A.7)", seen="read", source=f"{FRENCH}; as F / (f_h d) of each mode: {fasteners.HANDBOOK.format(153)}"
)
REMEDIES = ("fasteners farther from the end", "more fasteners in each line, or lines farther apart", "longer fasteners")


@quantity("D", "mm", says="diameter of the fasteners, of bolts with the play of their holes", cites=AREAS)
def fastener_hole(fastener_diameter, fastener_play):
    return fastener_diameter + fastener_play


@quantity(
    "L_net,v", "mm", says="2 ((n_1 − 1) (a_1 − D) + a_3 − D/2): both sides of the group up to the end, without the holes", cites=AREAS
)
def block_sides(fastener_line_count, fastener_spacing, fastener_hole, fastener_end):
    between = np.where(fastener_line_count > 1.0, (fastener_line_count - 1.0) * np.maximum(fastener_spacing - fastener_hole, 0.0), 0.0)
    side = between + np.maximum(fastener_end - fastener_hole / 2.0, 0.0)
    return np.where(np.isnan(fastener_line_count), np.nan, 2.0 * side)


@quantity("L_net,t", "mm", says="(n_2 − 1) (a_2 − D): across the group, without the holes; nought of one line", cites=AREAS)
def block_width(fastener_count, fastener_line_count, fastener_row_spacing, fastener_hole):
    lines = np.floor(fastener_count / fastener_line_count + 1e-9)
    return (lines - 1.0) * np.where(lines > 1.0, np.maximum(fastener_row_spacing - fastener_hole, 0.0), 0.0)


@quantity("f_h,0,k", "N/mm²", says="of the timber that the points end in, along its grain", cites=fasteners.EMBEDMENT)
def f_h_along(
    rho_point, fastener_d_ef, fastener_drilled, fastener_as_nail, embedment_factor, embedment_exponent, embedment_drilled, bolt_angle_constant,
    bolt_angle_slope,
):  # fmt: skip
    numbers = (embedment_factor, embedment_exponent, embedment_drilled)
    return fasteners.embedded(
        rho_point, fastener_d_ef, fastener_drilled, fastener_as_nail, *numbers, 0.0, (bolt_angle_constant, bolt_angle_slope)
    )


@quantity("√(M_y,Rk / (f_h d))", "mm", cites=DEPTHS)
def hinge_depth(fastener_yield_moment, f_h_along, fastener_d_ef):
    return np.sqrt(fastener_yield_moment / (f_h_along * fastener_d_ef))


@quantity("t_ef", "mm", says="under a thin plate: the lesser of 0.4 t_1 and 1.4 √(M_y,Rk / (f_h d))", cites=DEPTHS)
def plug_depth_thin(steel_thin_share, fastener_point, plug_depth_one_hinge, hinge_depth):
    return np.minimum(steel_thin_share * fastener_point, plug_depth_one_hinge * hinge_depth)


@quantity(
    "t_ef", "mm", says="under a thick plate: the lesser of t_1 (√(2 + 4 M_y,Rk / (f_h d t_1²)) − 1) and 2 √(M_y,Rk / (f_h d))", cites=DEPTHS
)
def plug_depth_thick(fastener_point, plug_depth_two_hinges, hinge_depth):
    held = np.where(fastener_point > 0.0, fastener_point, np.nan)
    return np.minimum(held * (np.sqrt(2.0 + 4.0 * (hinge_depth / held) ** 2) - 1.0), plug_depth_two_hinges * hinge_depth)


@quantity(
    "stays straight", "", says="under a thick plate the timber crushes along the whole fastener before it bends, mode c", cites=DEPTHS
)
def stays_straight(f_h_along, fastener_point, fastener_d_ef, fastener_yield_moment, johansen_two_hinges, fastener_rope, rope_share):
    crushed, bent = dowels.under_a_thick_plate(f_h_along, fastener_point, fastener_d_ef, fastener_yield_moment, johansen_two_hinges)
    return crushed <= dowels.with_rope(bent, fastener_rope, rope_share)


@quantity(
    "A_net,v",
    "mm²",
    says="L_net,v (L_net,t + 2 t_ef) / 2, of mode c L_net,v t_1; between thin plates, d/2, and thick ones, d, straight",
    cites=AREAS,
)
def block_shear_area(
    block_sides, block_width, plug_depth_thin, plug_depth_thick, stays_straight, fastener_point, fastener_plate, fastener_diameter
):
    thin = block_sides / 2.0 * (block_width + 2.0 * plug_depth_thin)
    thick = np.where(stays_straight, block_sides * fastener_point, block_sides / 2.0 * (block_width + 2.0 * plug_depth_thick))
    return thin + (thick - thin) * np.clip(2.0 * fastener_plate / fastener_diameter - 1.0, 0.0, 1.0)


@quantity("F_bs,Rk", "N", says="the greater of 1.5 L_net,t t_1 f_t,0,k and 0.7 A_net,v f_v,k", cites=BLOCK)
def block_shear(block_tension_factor, block_width, fastener_point, fastener_f_t, block_shear_factor, block_shear_area, fastener_f_v):
    torn = block_tension_factor * block_width * fastener_point * fastener_f_t
    return np.maximum(torn, block_shear_factor * block_shear_area * fastener_f_v)


@quantity("F_bs,Rd", "N", cites=fasteners.DESIGN)
def block_shear_resistance(k_mod, block_shear, gamma_m_fasteners):
    return k_mod * block_shear / gamma_m_fasteners
