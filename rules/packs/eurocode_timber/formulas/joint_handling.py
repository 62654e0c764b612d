"""Every joint of a truss takes the force of handling in any direction, EN 1995-1-1 9.2.1(7)-(8)."""

from __future__ import annotations

from typing import Any

import numpy as np

from rules.library import JOINT, STRENGTH, Quantity, Rule, clause, quantity
from rules.packs.eurocode_timber.formulas.plate_anchorage import INVENTED
from rules.packs.eurocode_timber.quantities.plate_steel import steel_ratio
from rules.packs.eurocode_timber.quantities.plates import fold, grip, is_invented_plate

HANDLING = clause("9.2.1(7)-(8)")


def directions(end: float, like: Any) -> Any:
    """Every degree from 0 to `end`, along a new first axis of an array like this one."""
    return np.arange(0.0, end).reshape(-1, *[1] * np.ndim(like)) + 0.0 * like


@quantity("f_a,min,d", "N/mm²", says="the least of f_a,α,β over all directions, for a short time in service class 2", cites=HANDLING)
def weakest_grip(plate_angle, grain_angle, f_a_0_0_k, f_a_90_90_k, k_1, k_2, alpha_0, beta_limit, handling_k_mod, gamma_m_plate_anchorage):
    ways = np.concatenate([directions(180.0, plate_angle), (plate_angle + 90.0)[None], (grain_angle + 90.0)[None]])
    tried = grip(fold(ways - plate_angle), fold(ways - grain_angle), f_a_0_0_k, f_a_90_90_k, k_1, k_2, alpha_0, beta_limit)
    return handling_k_mod * tried.min(axis=0) / gamma_m_plate_anchorage


@quantity("τ_F,d / f_a,min,d", "1", cites=HANDLING)
def handling_anchorage(handling_resistance, faces, contact_area, weakest_grip):
    return handling_resistance / faces / contact_area / weakest_grip


@quantity("η_s", "1", says="the root of (8.56) for the force in its worst direction", cites=HANDLING)
def handling_steel(
    handling_resistance, faces, gamma, line_length, f_t_0_k_plate, f_c_0_k_plate, f_v_0_k_plate, f_t_90_k_plate, f_c_90_k_plate, f_v_90_k_plate,
    gamma_0, k_v_plate, gamma_m_plate_steel,
):  # fmt: skip
    steel = (f_t_0_k_plate, f_c_0_k_plate, f_v_0_k_plate, f_t_90_k_plate, f_c_90_k_plate, f_v_90_k_plate)
    ways, force = np.radians(directions(360.0, gamma)), handling_resistance / faces
    tried = steel_ratio(force * np.cos(ways), force * np.sin(ways), gamma, steel, line_length, gamma_0, k_v_plate)
    return np.sqrt(tried.max(axis=0)) * gamma_m_plate_steel


@quantity("truss", "", says="a joint at a node of a truss with punched metal plates")
def is_handled_joint(is_truss, is_within):
    return is_truss & ~is_within


def _rule(part: str, axis: str, title: str, demand: Quantity, message: str) -> Rule:
    return Rule(
        slug="joint-handling",
        part=part,
        axis=axis,
        title=title,
        why="Trusses are lifted, turned and leant on before they carry anything; joints sized by the roof alone come apart on the lorry.",
        scope=JOINT,
        purpose=STRENGTH,
        demand=demand,
        when=is_handled_joint,
        because="is no joint of a truss",
        undecided=is_invented_plate,
        ask=INVENTED,
        cites=HANDLING,
        message=message,
        remedies=("a larger plate",),
    )


RULES = (
    _rule(
        "anchorage", "joint", "The plates' teeth hold in handling", handling_anchorage,
        "Joint {element}: the force of handling uses {percent} of what the plates' teeth hold, {at}.",
    ),
    _rule(
        "steel", "joint-line", "The plates' steel holds in handling", handling_steel,
        "Joint {element}: the force of handling uses {percent} of what the plates' steel holds, {at}.",
    ),
)  # fmt: skip
