"""A hanger carries what bears on it, by what its maker declares; uplift is judged with the holding-down."""

from __future__ import annotations

import numpy as np

from rules.library import STRENGTH, SUPPORT, Rule, clause, quantity

DECLARED = clause("2.4.3 and the maker's declaration", equation="(2.17)", seen="memory")


@quantity("F_d", "N", says="downward force in the hanger")
def hanger_force(down):
    return np.maximum(down, 0.0)


@quantity("R_d", "N", says="what the hanger carries downwards, k_mod R_k / γ_M where it falls with duration", cites=DECLARED)
def hanger_resistance(hanger_with_k_mod, k_mod, hanger_declared, hanger_gamma):
    return np.where(hanger_with_k_mod, k_mod, 1.0) * hanger_declared / hanger_gamma


@quantity("hangs", "", says="a downward force in a hanger")
def hangs(in_hanger, down, axial_floor):
    return in_hanger & (down > axial_floor)


RULE = Rule(
    slug="hanger",
    title="The hanger carries what bears on it",
    why="A hanger is a bent sheet and its nails: it carries what its maker has tested, in the direction in which he has tested it.",
    scope=SUPPORT,
    purpose=STRENGTH,
    demand=hanger_force,
    limit=hanger_resistance,
    when=hangs,
    because="does not sit in a hanger",
    cites=DECLARED,
    message="Support {element}: {demand} bears on the hanger, under {combination}.",
    remedies=("a stronger hanger, declared", "every hole of the hanger nailed as its maker says"),
)
