"""What nails, screws and bolts carry that fix a brace, a strap or a hanger, EN 1995-1-1 8.2, 8.3, 8.5 and 8.7. N, mm, kg/m³. One place: a fixing.

Taken on the safe side: of bolts the grain of the timber on the point's side lies across the force; a screw bends where its thread is; what
nobody declares of the axis adds nothing to the shear, nor what is used up along it. Nails driven askew are left open.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from rules.library import Citation, clause, quantity
from rules.packs.eurocode_timber.quantities import dowels

BOOK = "Porteous and Kermani, Structural Timber Design to Eurocode 5, https://www.eurocode.us/structural-timber-design/info-ltz-1.html"
HANDBOOK = "LVL Handbook Europe 2025, image {0}, https://proofer.faktor.fi/epaper/LVLHandbook_2025/{0}"
CORE = clause("8.7.1(2)-(3)", seen="read", source=BOOK)
EMBEDMENT = clause("8.3.1.1, 8.5.1.1", equation="(8.15), (8.16), (8.31)-(8.33)", seen="read", source=HANDBOOK.format(206))
YIELD = clause("8.3.1.1(4), 8.5.1.1(1)", equation="(8.14), (8.30)", seen="read", source=HANDBOOK.format(206))
JOHANSEN = clause(
    "8.2.2, 8.2.3",
    equation="(8.6), (8.9), (8.10)",
    seen="read",
    source=f"(8.6): {HANDBOOK.format(207)}; the others: https://www.eurocode.us/structural-timber-design/info-fih.html",
)
SHEETS = "checks of calculation sheets of dowel-type connections, in Dutch and Norwegian, no stable address"
WITHDRAWAL = clause("8.3.2, 8.7.2", equation="(8.23)-(8.26), (8.38)-(8.40)", seen="read", source=SHEETS)
BOLTS = clause(
    "8.5.2", seen="read", source="Porteous and Kermani, bolts with washers, https://www.eurocode.us/structural-timber-design/info-uos.html"
)
COMBINED = clause("8.3.3, 8.7.3", equation="(8.27), (8.28)", seen="read", source=SHEETS)
STEEL = Citation("Table 3.4", seen="read", document="EN 1993-1-8", edition="2005", source="https://orangebook.arcelormittal.com/node/45")
TOGETHER = clause("8.3.1.1(8), 8.5.1.1(4), 8.7.2(8)", equation="(8.17), (8.34), (8.41)", seen="read", source=SHEETS)
DESIGN = clause("2.4.3", equation="(2.17)", seen="read", source="LVL Handbook Europe 2025, p. 118")
TINY = 1e-9


@quantity("d_ef", "mm", cites=CORE)
def fastener_d_ef(fastener_is_screw, screw_root_factor, fastener_root, fastener_diameter):
    return np.where(fastener_is_screw, screw_root_factor * fastener_root, fastener_diameter)


@quantity("as nails", "", says="nails and thin screws go by the rules of nails, thick ones by those of bolts", cites=CORE)
def fastener_as_nail(fastener_is_bolt, fastener_is_screw, fastener_d_ef, thin_screw_most, nail_diameter_most):
    return ~fastener_is_bolt & (fastener_d_ef <= np.where(fastener_is_screw, thin_screw_most, nail_diameter_most))


def embedded(
    rho: Any, d: Any, drilled: Any, as_nail: Any, factor: Any, exponent: Any, loss: Any, angle: float, k_90: tuple[Any, Any]
) -> Any:
    """f_h,k, N/mm² (8.15), (8.16), (8.31), (8.32): as of nails, or as of bolts whose force is at this angle to the grain, degrees."""
    along = dowels.embedment(rho, d, drilled | ~as_nail, factor, exponent, loss)
    return np.where(as_nail, along, dowels.embedment_at_angle(along, d, angle, *k_90))


@quantity("f_h,1,k", "N/mm²", says="of the timber under the heads; of bolts along its grain", cites=EMBEDMENT)
def f_h_head(
    rho_head,
    fastener_d_ef,
    fastener_drilled,
    fastener_as_nail,
    embedment_factor,
    embedment_exponent,
    embedment_drilled,
    bolt_angle_constant,
    bolt_angle_slope,
):
    return embedded(
        rho_head, fastener_d_ef, fastener_drilled, fastener_as_nail, embedment_factor, embedment_exponent, embedment_drilled, 0.0,
        (bolt_angle_constant, bolt_angle_slope),
    )  # fmt: skip


@quantity("f_h,2,k", "N/mm²", says="of the timber that the points end in; of bolts across its grain", cites=EMBEDMENT)
def f_h_point(
    rho_point,
    fastener_d_ef,
    fastener_drilled,
    fastener_as_nail,
    embedment_factor,
    embedment_exponent,
    embedment_drilled,
    bolt_angle_constant,
    bolt_angle_slope,
):
    return embedded(
        rho_point, fastener_d_ef, fastener_drilled, fastener_as_nail, embedment_factor, embedment_exponent, embedment_drilled, 90.0,
        (bolt_angle_constant, bolt_angle_slope),
    )  # fmt: skip


@quantity("M_y,Rk", "N·mm", says="as declared, else by the strength of the wire", cites=YIELD)
def fastener_yield_moment(fastener_m_y, yield_moment_factor, fastener_f_u, fastener_d_ef, yield_moment_exponent):
    return np.where(fastener_m_y > 0.0, fastener_m_y, yield_moment_factor * fastener_f_u * fastener_d_ef**yield_moment_exponent)


@quantity("t_2", "mm", says="length in the timber on the point's side, at most that timber", cites=clause("8.3.1.1(1)-(2)"))
def fastener_point(fastener_length, fastener_through, fastener_plate, fastener_room):
    return np.minimum(fastener_length - fastener_through - fastener_plate, fastener_room)


@quantity("l_ef", "mm", says="length that holds against withdrawal: of smooth nails t_2, else the thread in it", cites=WITHDRAWAL)
def fastener_hold(fastener_is_smooth, fastener_point, fastener_thread):
    return np.maximum(np.where(fastener_is_smooth, fastener_point, np.minimum(fastener_thread, fastener_point)), 0.0)


@quantity(
    "f_ax", "N/mm²", says="of smooth nails 20·10⁻⁶ ρ_k², less where short; of screws 6 to 12 mm thick 0.52 d^-0.5 l_ef^-0.1 ρ_k^0.8 and d/8; else declared",
    cites=WITHDRAWAL,
)  # fmt: skip
def fastener_withdrawal(
    fastener_is_smooth, fastener_is_screw, smooth_withdrawal, rho_point, fastener_hold, fastener_diameter, fastener_f_ax, screw_withdrawal,
    screw_withdrawal_d, screw_withdrawal_l, screw_withdrawal_rho, screw_thin, screw_thick, screw_reference_d,
    smooth_hold_from, smooth_hold_full, ringed_hold_from, ringed_hold_full,
):  # fmt: skip
    deep = fastener_hold / fastener_diameter
    smooth = smooth_withdrawal * rho_point**2 * np.clip((deep - smooth_hold_from) / (smooth_hold_full - smooth_hold_from), 0.0, 1.0)
    thread = np.maximum(fastener_hold, TINY)
    formula = screw_withdrawal * fastener_diameter**screw_withdrawal_d * thread**screw_withdrawal_l * rho_point**screw_withdrawal_rho
    within = (fastener_diameter >= screw_thin) & (fastener_diameter <= screw_thick)
    screw = np.where(within, formula * np.minimum(fastener_diameter / screw_reference_d, 1.0), 0.0)
    ringed = fastener_f_ax * np.clip((deep - ringed_hold_from) / (ringed_hold_full - ringed_hold_from), 0.0, 1.0)
    declared = np.where(fastener_is_screw, np.where(fastener_f_ax > 0.0, fastener_f_ax, screw), ringed)
    return np.where(fastener_is_smooth, smooth, declared)


@quantity(
    "F_c,90,k",
    "N",
    says="of a bolt: washer_bearing f_c,90,k over the lesser of the rings under its washers; a steel plate bears on 12 t or 4 d at most",
    cites=BOLTS,
)
def fastener_washer_strength(
    fastener_washer, fastener_plate, fastener_diameter, fastener_bearing, washer_bearing, washer_hole, steel_washer_thicknesses,
    steel_washer_diameters,
):  # fmt: skip
    on_steel = np.minimum(steel_washer_thicknesses * fastener_plate, steel_washer_diameters * fastener_diameter)
    wide = np.minimum(fastener_washer, np.where(fastener_plate > 0.0, on_steel, fastener_washer))
    ring = np.pi / 4.0 * np.maximum(wide**2 - (fastener_diameter + washer_hole) ** 2, 0.0)
    return washer_bearing * fastener_bearing * ring


@quantity(
    "F_ax,Rk",
    "N",
    says="of one: drawn from the point's side, its head pulled through, a screw torn; of a bolt under its washers",
    cites=WITHDRAWAL,
)
def fastener_f_ax_rk(
    fastener_withdrawal, fastener_hold, fastener_diameter, fastener_is_smooth, fastener_is_bolt, smooth_withdrawal, smooth_head, rho_head,
    fastener_head, fastener_f_head, fastener_through, fastener_plate, fastener_f_tens, fastener_washer_strength,
):  # fmt: skip
    drawn = fastener_withdrawal * fastener_diameter * fastener_hold
    smooth = smooth_withdrawal * rho_head**2 * fastener_diameter * fastener_through + smooth_head * rho_head**2 * fastener_head**2
    through = np.where(fastener_is_smooth, smooth, fastener_f_head * fastener_head**2)
    timber = np.where(fastener_plate > 0.0, drawn, np.minimum(drawn, through))
    held = np.where(fastener_is_bolt, fastener_washer_strength, timber)
    return np.where(fastener_f_tens > 0.0, np.minimum(held, fastener_f_tens), held)


@quantity("ΔF_v", "N", says="a fourth of F_ax,Rk; nothing where the force uses the axis up already", cites=JOHANSEN)
def fastener_rope(fastener_f_ax_rk, rope_pull_share, fastener_pulled):
    return np.where(fastener_pulled.equals("both"), 0.0, rope_pull_share * fastener_f_ax_rk)


@quantity(
    "F_v,Rk", "N", says="the least of Johansen's modes of one in single shear, with the rope effect in those that bend it", cites=JOHANSEN
)
def fastener_f_v_rk(
    f_h_head, f_h_point, fastener_through, fastener_point, fastener_d_ef, fastener_yield_moment, fastener_rope, rope_share, fastener_plate,
    johansen_one_hinge, johansen_two_hinges, steel_thin_share,
):  # fmt: skip
    t_2, on_steel = np.where(fastener_point > 0.0, fastener_point, np.nan), fastener_plate > 0.0
    t_1 = np.where(on_steel, t_2, np.where(fastener_through > 0.0, fastener_through, np.nan))
    hinges = (johansen_one_hinge, johansen_two_hinges)
    modes = dowels.single_shear(f_h_head, f_h_point, t_1, t_2, fastener_d_ef, fastener_yield_moment, *hinges)
    timber = np.minimum(modes[:2].min(axis=0), dowels.with_rope(modes[2:], fastener_rope, rope_share).min(axis=0))
    under = (fastener_plate, steel_thin_share, johansen_two_hinges)
    steel = dowels.on_a_steel_plate(f_h_point, t_2, fastener_d_ef, fastener_yield_moment, *under, fastener_rope, rope_share)
    return np.where(on_steel, steel, timber)


@quantity("n_ef", "1", says="lines times n_ef of those in one line along the grain, whatever the force's angle", cites=TOGETHER)
def fasteners_across(
    fastener_count, fastener_in_row, fastener_spacing, fastener_diameter, fastener_as_nail, nail_row_step_1, nail_row_step_2, nail_row_step_3,
    nail_row_step_4, nail_row_exponent_1, nail_row_exponent_2, nail_row_exponent_3, nail_row_exponent_4, bolt_row_exponent, bolt_row_spacing,
    bolt_row_power,
):  # fmt: skip
    apart = np.maximum(fastener_spacing, TINY)
    steps = (nail_row_step_1, nail_row_step_2, nail_row_step_3, nail_row_step_4)
    exponents = (nail_row_exponent_1, nail_row_exponent_2, nail_row_exponent_3, nail_row_exponent_4)
    nails = dowels.nails_in_a_row(fastener_in_row, apart, fastener_diameter, steps, exponents)
    bolts = dowels.bolts_in_a_row(fastener_in_row, apart, fastener_diameter, bolt_row_exponent, bolt_row_spacing, bolt_row_power)
    return fastener_count / fastener_in_row * np.where(fastener_in_row > 1.0, np.where(fastener_as_nail, nails, bolts), 1.0)


@quantity("n_ef", "1", says="n of nails and bolts; n^0.9 of screws; none of smooth nails under permanent or long load", cites=TOGETHER)
def fasteners_along(fastener_count, fastener_is_screw, screw_count_exponent, fastener_is_smooth, duration):
    lasting = duration.equals("permanent") | duration.equals("long")
    return np.where(fastener_is_screw, fastener_count**screw_count_exponent, np.where(fastener_is_smooth & lasting, 0.0, fastener_count))


@quantity("γ_M", "1", cites=DESIGN)
def gamma_m_fasteners(gamma_m_connection, gamma_m_accidental, is_accidental):
    return np.where(is_accidental, gamma_m_accidental, gamma_m_connection)


@quantity(
    "F_t,Rd",
    "N",
    says="of one screw or bolt: declared, or of a bolt k_2 f_u A_s, over γ_M2; nought of nails, whose steel does not govern",
    cites=STEEL,
)
def fastener_steel(
    fastener_f_tens, fastener_is_bolt, bolt_tension_factor, fastener_f_u, bolt_thread_share, fastener_diameter, gamma_m_steel_tension
):
    thread = bolt_thread_share * np.pi / 4.0 * fastener_diameter**2
    bolt = np.where(fastener_is_bolt, bolt_tension_factor * fastener_f_u * thread, 0.0)
    return np.where(fastener_f_tens > 0.0, fastener_f_tens, bolt) / gamma_m_steel_tension


@quantity("F_v,Rd", "N", says="k_mod n_ef F_v,Rk / γ_M", cites=DESIGN)
def resistance_across(k_mod, fasteners_across, fastener_f_v_rk, gamma_m_fasteners):
    return k_mod * fasteners_across * fastener_f_v_rk / gamma_m_fasteners


@quantity("F_ax,Rd", "N", says="k_mod n_ef F_ax,Rk / γ_M, and no more than the steel of screws and bolts", cites=DESIGN)
def resistance_along(k_mod, fasteners_along, fastener_f_ax_rk, gamma_m_fasteners, fastener_steel):
    held = k_mod * fasteners_along * fastener_f_ax_rk / gamma_m_fasteners
    return np.where(fastener_steel > 0.0, np.minimum(held, fasteners_along * fastener_steel), held)


@quantity(
    "F_Rd", "N", says="of a force at the angle θ to them: ((cos θ / F_ax,Rd)^e + (sin θ / F_v,Rd)^e)^(−1/e), e = 2 of ringed nails and screws, else 1",
    cites=COMBINED,
)  # fmt: skip
def resistance_both_ways(resistance_across, resistance_along, fastener_pull_angle, combined_power):
    angle = np.radians(fastener_pull_angle)
    with np.errstate(divide="ignore"):
        shares = np.abs(np.cos(angle) / resistance_along) ** combined_power + np.abs(np.sin(angle) / resistance_across) ** combined_power
        return shares ** (-1.0 / combined_power)


@quantity("R_d", "N", says="F_v,Rd across them, F_ax,Rd along them, F_Rd both ways at once, nothing in end grain", cites=DESIGN)
def fasteners_resistance(fastener_pulled, resistance_across, resistance_along, resistance_both_ways):
    one_way = np.where(
        fastener_pulled.equals("across"), resistance_across, np.where(fastener_pulled.equals("along"), resistance_along, 0.0)
    )
    return np.where(fastener_pulled.equals("both"), resistance_both_ways, one_way)


@quantity(
    "ρ_m",
    "kg/m³",
    cites=clause("7.1(2)", equation="(7.1)", seen="read", source="an open library of Eurocode 5 in Swedish, no stable address"),
)
def fastener_rho_mean(rho_mean_head, rho_mean_point):
    return np.sqrt(rho_mean_head * rho_mean_point)


@quantity(
    "K_ser",
    "N/mm",
    says="of all of them across, twice as much under steel; of what is drawn along them, or has play to move in first, nothing is known",
    cites=clause("7.1", seen="read", source="an open library of timber capacities to EN 1995-1-1, no stable address"),
)
def fasteners_slip(
    fastener_pulled, fastener_count, fastener_rho_mean, fastener_d_ef, fastener_as_nail, fastener_is_screw, fastener_drilled, slip_on_steel,
    fastener_plate, fastener_play, slip_density_power, slip_drilled_power, slip_drilled_divisor, slip_driven_power, slip_driven_divisor,
):  # fmt: skip
    drilled = fastener_drilled | fastener_is_screw | ~fastener_as_nail
    power, divisor = np.where(drilled, slip_drilled_power, slip_driven_power), np.where(drilled, slip_drilled_divisor, slip_driven_divisor)
    one = dowels.slip_modulus(fastener_rho_mean, fastener_d_ef, slip_density_power, power, divisor)
    firm = fastener_pulled.equals("across") & ~(fastener_play > 0.0)
    return np.where(firm, fastener_count * one * np.where(fastener_plate > 0.0, slip_on_steel, 1.0), np.nan)
