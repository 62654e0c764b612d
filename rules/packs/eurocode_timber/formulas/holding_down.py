"""Uplift at a bearing: what must be held down, EN 1990 6.4.2."""

from __future__ import annotations

import numpy as np

from rules.library import STRENGTH, SUPPORT, Citation, Rule, clause, quantity

EQUILIBRIUM = Citation("6.4.2", "(6.7)", document="EN 1990", edition="2002+A1:2005")
DECLARED = clause("2.4.3 and the maker's declaration", equation="(2.17)", seen="memory")


@quantity("uplift", "N", says="upward force on the bearing, dead load counted low", cites=EQUILIBRIUM)
def uplift(down):
    return np.maximum(-down, 0.0)


@quantity("R_d", "N", says="what a strap carries, k_mod R_k / γ_M where it falls with duration, over the bearings it holds", cites=DECLARED)
def strap_capacity(hold_down_with_k_mod, k_mod, hold_down_declared, hold_down_gamma, bearings_held):
    return np.where(hold_down_with_k_mod, k_mod, 1.0) * hold_down_declared / hold_down_gamma / bearings_held


@quantity("is lifted", "", says="the bearing is pulled upwards in some combination")
def is_lifted(down, axial_floor):
    return down < -axial_floor


RULE = Rule(
    slug="holding-down",
    title="A bearing that wind can lift is held down",
    why="A light roof over an open eaves lifts in a gale; nails through a wall plate do not hold it unless somebody has shown it.",
    scope=SUPPORT,
    purpose=STRENGTH,
    under=("equilibrium", "ultimate"),
    demand=uplift,
    limit=strap_capacity,
    when=is_lifted,
    because="is never lifted",
    cites=EQUILIBRIUM,
    message="Support {element}: it is lifted with {demand}, under {combination}; a strap or clip with a declared capacity must hold it down.",
    remedies=("a holding-down strap with a declared capacity, and the wall below able to take it",),
)
