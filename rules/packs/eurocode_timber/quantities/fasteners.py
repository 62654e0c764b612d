"""What nails, screws and bolts carry that fix a brace, a strap or a hanger, EN 1995-1-1 8.2, 8.3, 8.5 and 8.7. N, mm, kg/m³. One place: a fixing.

Taken on the safe side: of bolts the grain of the timber on the point's side lies across the force; a screw bends where its thread is; what
nobody declares of the axis adds nothing to the shear. Bolts are not drawn out, and nails driven askew carry nothing.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from rules.library import clause, quantity
from rules.packs.eurocode_timber.quantities import dowels

BOOK = "Porteous and Kermani, Structural Timber Design to Eurocode 5, https://www.eurocode.us/structural-timber-design/info-ltz-1.html"
HANDBOOK = "LVL Handbook Europe 2025, image {0}, https://proofer.faktor.fi/epaper/LVLHandbook_2025/{0}"
CORE = clause("8.7.1(2)-(3)", seen="read", source=BOOK)
EMBEDMENT = clause("8.3.1.1, 8.5.1.1", equation="(8.15), (8.16), (8.31)-(8.33)", seen="read", source=HANDBOOK.format(206))
YIELD = clause("8.3.1.1(4), 8.5.1.1(1)", equation="(8.14), (8.30)", seen="read", source=HANDBOOK.format(206))
JOHANSEN = clause(
    "8.2.2, 8.2.3", equation="(8.6), (8.9), (8.10)", seen="read", source=f"(8.6): {HANDBOOK.format(207)}; the others from memory"
)
WITHDRAWAL = clause("8.3.2, 8.7.2", equation="(8.23)-(8.26), (8.38)-(8.40)", seen="memory")
TOGETHER = clause("8.3.1.1(8), 8.5.1.1(4), 8.7.2(8)", equation="(8.17), (8.34), (8.41)", seen="memory")
DESIGN = clause("2.4.3", equation="(2.17)", seen="read", source="LVL Handbook Europe 2025, p. 118")
TINY = 1e-9


@quantity("d_ef", "mm", cites=CORE)
def fastener_d_ef(fastener_is_screw, screw_root_factor, fastener_root, fastener_diameter):
    return np.where(fastener_is_screw, screw_root_factor * fastener_root, fastener_diameter)


@quantity("as nails", "", says="nails and thin screws go by the rules of nails, thick ones by those of bolts", cites=CORE)
def fastener_as_nail(fastener_is_bolt, fastener_is_screw, fastener_d_ef, thin_screw_most, nail_diameter_most):
    return ~fastener_is_bolt & (fastener_d_ef <= np.where(fastener_is_screw, thin_screw_most, nail_diameter_most))


def _f_h(rho: Any, d: Any, drilled: Any, as_nail: Any, factor: Any, exponent: Any, loss: Any, angle: float, constant: Any) -> Any:
    along = dowels.embedment(rho, d, drilled | ~as_nail, factor, exponent, loss)
    return np.where(as_nail, along, dowels.embedment_at_angle(along, d, angle, constant))


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
):
    return _f_h(
        rho_head, fastener_d_ef, fastener_drilled, fastener_as_nail, embedment_factor, embedment_exponent, embedment_drilled, 0.0,
        bolt_angle_constant,
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
):
    return _f_h(
        rho_point, fastener_d_ef, fastener_drilled, fastener_as_nail, embedment_factor, embedment_exponent, embedment_drilled, 90.0,
        bolt_angle_constant,
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


@quantity("F_ax,Rk", "N", says="of one: drawn from the point's side, its head pulled through, or a screw torn", cites=WITHDRAWAL)
def fastener_f_ax_rk(
    fastener_withdrawal, fastener_hold, fastener_diameter, fastener_is_smooth, fastener_is_bolt, smooth_withdrawal, smooth_head, rho_head,
    fastener_head, fastener_f_head, fastener_through, fastener_plate, fastener_f_tens,
):  # fmt: skip
    drawn = fastener_withdrawal * fastener_diameter * fastener_hold
    smooth = smooth_withdrawal * rho_head**2 * fastener_diameter * fastener_through + smooth_head * rho_head**2 * fastener_head**2
    through = np.where(fastener_is_smooth, smooth, fastener_f_head * fastener_head**2)
    held = np.where(fastener_plate > 0.0, drawn, np.minimum(drawn, through))
    return np.where(fastener_is_bolt, 0.0, np.where(fastener_f_tens > 0.0, np.minimum(held, fastener_f_tens), held))


@quantity(
    "F_v,Rk", "N", says="the least of Johansen's modes of one in single shear, with the rope effect in those that bend it", cites=JOHANSEN
)
def fastener_f_v_rk(
    f_h_head,
    f_h_point,
    fastener_through,
    fastener_point,
    fastener_d_ef,
    fastener_yield_moment,
    fastener_f_ax_rk,
    rope_share,
    fastener_plate,
):
    t_2, on_steel = np.where(fastener_point > 0.0, fastener_point, np.nan), fastener_plate > 0.0
    t_1 = np.where(on_steel, t_2, np.where(fastener_through > 0.0, fastener_through, np.nan))
    modes = dowels.single_shear(f_h_head, f_h_point, t_1, t_2, fastener_d_ef, fastener_yield_moment)
    timber = np.minimum(modes[:2].min(axis=0), dowels.with_rope(modes[2:], fastener_f_ax_rk, rope_share).min(axis=0))
    steel = dowels.on_a_steel_plate(f_h_point, t_2, fastener_d_ef, fastener_yield_moment, fastener_plate, fastener_f_ax_rk, rope_share)
    return np.where(on_steel, steel, timber)


@quantity("n_ef", "1", says="lines times n_ef of those in one line along the grain, whatever the force's angle", cites=TOGETHER)
def fasteners_across(fastener_count, fastener_in_row, fastener_spacing, fastener_diameter, fastener_as_nail):
    apart = np.maximum(fastener_spacing, TINY)
    nails = dowels.nails_in_a_row(fastener_in_row, apart, fastener_diameter)
    bolts = dowels.bolts_in_a_row(fastener_in_row, apart, fastener_diameter)
    return fastener_count / fastener_in_row * np.where(fastener_in_row > 1.0, np.where(fastener_as_nail, nails, bolts), 1.0)


@quantity("n_ef", "1", says="n of nails; n^0.9 of screws; none of smooth nails under permanent or long load", cites=TOGETHER)
def fasteners_along(fastener_count, fastener_is_screw, screw_count_exponent, fastener_is_smooth, duration):
    lasting = duration.equals("permanent") | duration.equals("long")
    return np.where(fastener_is_screw, fastener_count**screw_count_exponent, np.where(fastener_is_smooth & lasting, 0.0, fastener_count))


@quantity("R_k", "N", says="n_ef F_v,Rk across them, n_ef F_ax,Rk along them, nothing in end grain", cites=TOGETHER)
def fasteners_strength(fastener_pulled, fasteners_across, fastener_f_v_rk, fasteners_along, fastener_f_ax_rk):
    drawn = np.where(fastener_pulled.equals("along"), fasteners_along * fastener_f_ax_rk, 0.0)
    return np.where(fastener_pulled.equals("across"), fasteners_across * fastener_f_v_rk, drawn)


@quantity("R_d", "N", cites=DESIGN)
def fasteners_resistance(k_mod, fasteners_strength, gamma_m_connection, gamma_m_accidental, is_accidental):
    return k_mod * fasteners_strength / np.where(is_accidental, gamma_m_accidental, gamma_m_connection)


@quantity("ρ_m", "kg/m³", cites=clause("7.1(2)", seen="memory"))
def fastener_rho_mean(rho_mean_head, rho_mean_point):
    return np.sqrt(rho_mean_head * rho_mean_point)


@quantity(
    "K_ser",
    "N/mm",
    says="of all of them across, twice as much under steel; of what is drawn along them nothing is known",
    cites=clause("7.1", seen="memory"),
)
def fasteners_slip(
    fastener_pulled, fastener_count, fastener_rho_mean, fastener_d_ef, fastener_as_nail, fastener_is_screw, fastener_drilled, slip_on_steel,
    fastener_plate,
):  # fmt: skip
    drilled = fastener_drilled | fastener_is_screw | ~fastener_as_nail
    one = dowels.slip_of_nails(fastener_rho_mean, fastener_d_ef, drilled) * np.where(fastener_plate > 0.0, slip_on_steel, 1.0)
    return np.where(fastener_pulled.equals("across"), fastener_count * one, np.nan)
