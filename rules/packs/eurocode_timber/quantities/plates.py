"""Punched metal plates, EN 1995-1-1 8.8: what one plate has to pass to one piece, and what its teeth hold. N, mm, degrees.

Two plates share the force of a joint, one on each face of every ply; declared values are those of one plate.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from rules.library import clause, quantity

GEOMETRY = clause("8.8.4 and 8.8.5.1")
STRENGTH = clause("8.8.4", equation="(8.42)-(8.44)")
STRESS = clause("8.8.5.1", equation="(8.45)-(8.49)")
CONTACT = clause("8.8.5.1", equation="(8.50), (8.51)")


def fold(degrees: Any) -> Any:
    """The angle between two lines, 0 to 90."""
    return np.abs((degrees + 90.0) % 180.0 - 90.0)


@quantity("butts", "", says="pieces end to end, gaps promised, pressed together", cites=CONTACT)
def butts(is_splice, touches, push):
    return is_splice & touches & (push > 0.0)


@quantity("F_c", "N", says="force of one plate on the piece along its grain, pressing positive")
def push(p_x, p_y, grain_angle, plates):
    return (p_x * np.cos(np.radians(grain_angle)) + p_y * np.sin(np.radians(grain_angle))) / plates


@quantity("F_⊥", "N", says="force of one plate on the piece across its grain")
def force_across(p_x, p_y, grain_angle, plates):
    return (p_y * np.cos(np.radians(grain_angle)) - p_x * np.sin(np.radians(grain_angle))) / plates


@quantity("F_∥", "N", says="F_c; of pieces that butt, |F_c − 3|M|/(2h)| but not less than the share of F_c that plates keep", cites=CONTACT)
def force_along(push, butts, p_m, plates, h, contact_moment_factor, plate_contact_share):
    kept = np.maximum(np.abs(push - contact_moment_factor * np.abs(p_m) / plates / h), plate_contact_share * push)
    return np.where(butts, kept, push)


@quantity("F_A,Ed", "N", cites=STRESS)
def plate_force(force_along, force_across):
    return np.hypot(force_along, force_across)


@quantity("M_A,Ed", "N·mm", says="moment on one plate about the middle of A_ef; of pieces that butt, its share", cites=STRESS)
def plate_moment(p_m, plates, butts, contact_moment_share):
    return np.abs(p_m) / plates * np.where(butts, contact_moment_share, 1.0)


@quantity("α", "°", says="angle between the force and the plate's main direction", cites=GEOMETRY)
def alpha(force_along, force_across, grain_angle, plate_angle):
    return fold(grain_angle + np.degrees(np.arctan2(force_across, force_along)) - plate_angle)


@quantity("β", "°", says="angle between the force and the grain", cites=GEOMETRY)
def beta(force_along, force_across):
    return fold(np.degrees(np.arctan2(force_across, force_along)))


def grip(alpha: Any, beta: Any, f_a_0_0_k: Any, f_a_90_90_k: Any, k_1: Any, k_2: Any, alpha_0: Any, beta_limit: Any) -> Any:
    """Characteristic anchorage strength at these angles, (8.42) to (8.44); above nought, as the declared values are."""
    along = f_a_0_0_k + k_1 * np.minimum(alpha, alpha_0) + k_2 * np.maximum(alpha - alpha_0, 0.0)
    turned = f_a_0_0_k - (f_a_0_0_k - f_a_90_90_k) * np.sin(np.radians(np.maximum(alpha, beta)))
    near = along - (along - f_a_90_90_k) * beta / beta_limit
    return np.where(beta <= beta_limit, np.maximum(near, turned), turned)


@quantity(
    "f_a,α,β,k",
    "N/mm²",
    says="β ≤ 45°: the greater of f_a,α,0,k − (f_a,α,0,k − f_a,90,90,k) β/45 and f_a,0,0,k − (f_a,0,0,k − f_a,90,90,k) sin(max(α, β)); "
    "beyond, the latter; f_a,α,0,k = f_a,0,0,k + k_1 min(α, α_0) + k_2 max(α − α_0, 0)",
    cites=STRENGTH,
)
def f_aabk(alpha, beta, f_a_0_0_k, f_a_90_90_k, k_1, k_2, alpha_0, beta_limit):
    return grip(alpha, beta, f_a_0_0_k, f_a_90_90_k, k_1, k_2, alpha_0, beta_limit)


@quantity("γ_M,a", "1", cites=clause("2.4.1 and Table 2.3"))
def gamma_m_anchorage(gamma_m_plate_anchorage, gamma_m_accidental, is_accidental):
    return np.where(is_accidental, gamma_m_accidental, gamma_m_plate_anchorage)


@quantity("f_a,α,β,d", "N/mm²", cites=clause("2.4.3", equation="(2.17)"))
def f_aabd(k_mod, f_aabk, gamma_m_anchorage):
    return k_mod * f_aabk / gamma_m_anchorage


@quantity("f_a,0,0,d", "N/mm²", cites=clause("2.4.3", equation="(2.17)"))
def f_a00d(k_mod, f_a_0_0_k, gamma_m_anchorage):
    return k_mod * f_a_0_0_k / gamma_m_anchorage


@quantity("W_p", "mm³", says="the lesser of ∫ r dA and its short form; ∫ r dA where that is asked for", cites=STRESS)
def polar_modulus(polar_exact, polar_short, plate_polar_exact):
    return np.where(plate_polar_exact > 0.0, polar_exact, np.minimum(polar_exact, polar_short))


@quantity("τ_F,d", "N/mm²", cites=STRESS)
def tau_f(plate_force, contact_area):
    return plate_force / contact_area


@quantity("τ_M,d", "N/mm²", cites=STRESS)
def tau_m(plate_moment, polar_modulus):
    return plate_moment / polar_modulus


@quantity("η_a", "1", cites=clause("8.8.5.1", equation="(8.52)"))
def anchorage_ratio(tau_f, f_aabd, tau_m, f_a00d):
    return (tau_f / f_aabd) ** 2 + (tau_m / f_a00d) ** 2


@quantity("passes force", "", says="the plates pass a force to the piece")
def passes_force(p_x, p_y, p_m, axial_floor, moment_floor):
    return (np.hypot(p_x, p_y) > axial_floor) | (np.abs(p_m) > moment_floor)


@quantity("invented", "", says="the plate's values are marked as invented")
def is_invented_plate(plate_invented):
    return plate_invented
