"""Uplift at a bearing: what must be held down."""

from __future__ import annotations

import numpy as np

from rules.library import STRENGTH, SUPPORT, Rule, clause, quantity

ANCHORED = clause("bearings that wind can lift", seen="practice")


@quantity("lift", "N", says="upward force on the bearing")
def bearing_lift(down):
    return np.maximum(-down, 0.0)


@quantity("R", "N", says="the declared capacity of what holds the bearing down")
def anchor_capacity(hold_down_capacity):
    return hold_down_capacity


@quantity("is lifted", "", says="the bearing is pulled upwards in some combination")
def is_pulled_up(down, axial_floor):
    return down < -axial_floor


RULE = Rule(
    slug="holding-down",
    title="A bearing that wind can lift is held down",
    why="A light roof over an open eaves lifts in a gale; nails through a wall plate do not hold it unless somebody has shown it.",
    scope=SUPPORT,
    purpose=STRENGTH,
    under=("equilibrium", "ultimate"),
    demand=bearing_lift,
    limit=anchor_capacity,
    when=is_pulled_up,
    because="is never lifted",
    cites=ANCHORED,
    message="Support {element}: it is lifted with {demand}, under {combination}; a strap or clip with a declared capacity must hold it down.",
    remedies=("a holding-down strap with a declared capacity, and the wall below able to take it",),
)
