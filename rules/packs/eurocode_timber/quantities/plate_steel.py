"""The steel of punched metal plates at a joint line, EN 1995-1-1 8.8.5.2. N, mm, degrees; one plate; no k_mod on steel."""

from __future__ import annotations

from typing import Any

import numpy as np

from rules.library import clause, quantity
from rules.packs.eurocode_timber.quantities.plates import fold

FORCES = clause("8.8.5.2", equation="(8.53)-(8.55)")
STEEL = clause("8.8.5.2", equation="(8.57)-(8.61)")
BOTH = clause("8.8.5.2", equation="(8.56)")


@quantity("γ", "°", says="angle between the plate's main direction and the joint line", cites=FORCES)
def gamma(line_angle, plate_angle):
    return fold(line_angle - plate_angle)


@quantity("F_x", "N", says="force of one plate along its main direction; positive where it pulls the pieces apart", cites=FORCES)
def line_force_x(q_x, q_y, normal_x, normal_y, plate_angle, plates):
    c, s = np.cos(np.radians(plate_angle)), np.sin(np.radians(plate_angle))
    return -(q_x * c + q_y * s) * np.where(normal_x * c + normal_y * s < 0.0, -1.0, 1.0) / plates


@quantity("F_y", "N", says="force of one plate across its main direction; positive where it pulls the pieces apart", cites=FORCES)
def line_force_y(q_x, q_y, normal_x, normal_y, plate_angle, plates):
    c, s = np.cos(np.radians(plate_angle)), np.sin(np.radians(plate_angle))
    return -(q_y * c - q_x * s) * np.where(normal_y * c - normal_x * s < 0.0, -1.0, 1.0) / plates


@quantity("F_M", "N", says="2 M/l, M of one plate", cites=FORCES)
def force_of_moment(q_m, plates, line_length):
    return 2.0 * np.abs(q_m) / plates / line_length


@quantity("γ_M,s", "1", cites=clause("2.4.1 and Table 2.3"))
def gamma_m_steel(gamma_m_plate_steel, gamma_m_accidental, is_accidental):
    return np.where(is_accidental, gamma_m_accidental, gamma_m_plate_steel)


def steel_ratio(x: Any, y: Any, gamma: Any, steel: tuple[Any, ...], line_length: Any, gamma_0: Any, k_v: Any) -> Any:
    """(F_x/F_x,Rk)² + (F_y/F_y,Rk)² of forces with signs, one plate. steel: f_t,0 f_c,0 f_v,0 f_t,90 f_c,90 f_v,90 in N/mm."""
    f_t_0, f_c_0, f_v_0, f_t_90, f_c_90, f_v_90 = steel
    angle, turn = np.radians(gamma), np.sin(np.radians(2.0 * gamma))
    k = np.where(x > 0.0, 1.0 + k_v * turn, 1.0)
    f_n_0, f_n_90 = np.where(x > 0.0, f_t_0, f_c_0), np.where(y > 0.0, f_t_90, f_c_90)
    held_x = np.maximum(np.abs(f_n_0 * np.sin(np.radians(gamma - gamma_0 * turn))), np.abs(f_v_0 * np.cos(angle))) * line_length
    held_y = np.maximum(np.abs(f_n_90 * np.cos(angle)), np.abs(k * f_v_90 * np.sin(angle))) * line_length
    with np.errstate(divide="ignore", invalid="ignore"):
        return (x / held_x) ** 2 + (y / held_y) ** 2


@quantity(
    "η_s",
    "1",
    says="the greatest of (F_x/F_x,Rd)² + (F_y/F_y,Rd)² with ± 2 F_M sin γ on F_x and ± 2 F_M cos γ on F_y; F_x,Rk = max(|f_n,0 l sin(γ − γ_0 sin 2γ)|, "
    "|f_v,0 l cos γ|), F_y,Rk = max(|f_n,90 l cos γ|, |k f_v,90 l sin γ|), f_n in tension or compression by the sign, k = 1 + k_v sin 2γ where F_x > 0",
    cites=BOTH,
)
def plate_ratio(
    line_force_x, line_force_y, force_of_moment, gamma, line_length, f_t_0_k_plate, f_c_0_k_plate, f_v_0_k_plate, f_t_90_k_plate,
    f_c_90_k_plate, f_v_90_k_plate, gamma_0, k_v_plate, gamma_m_steel,
):  # fmt: skip
    steel = (f_t_0_k_plate, f_c_0_k_plate, f_v_0_k_plate, f_t_90_k_plate, f_c_90_k_plate, f_v_90_k_plate)
    more_x = 2.0 * force_of_moment * np.sin(np.radians(gamma))
    more_y = 2.0 * force_of_moment * np.cos(np.radians(gamma))
    tried = [
        steel_ratio(line_force_x + a * more_x, line_force_y + b * more_y, gamma, steel, line_length, gamma_0, k_v_plate)
        for a in (1.0, -1.0)
        for b in (1.0, -1.0)
    ]
    return np.maximum.reduce(tried) * gamma_m_steel**2


@quantity("passes force", "", says="the plates pass a force through the joint line")
def is_crossed(q_x, q_y, q_m, axial_floor, moment_floor):
    return (np.hypot(q_x, q_y) > axial_floor) | (np.abs(q_m) > moment_floor)
