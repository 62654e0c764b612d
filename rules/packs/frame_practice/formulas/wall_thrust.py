"""Outward push on walls when more than one bearing of a roof is held sideways."""

from __future__ import annotations

import numpy as np

from rules.library import STRENGTH, SUPPORT, Rule, clause, quantity

HELD = clause("supports as they really are", seen="practice")


@quantity("H", "N", says="sideways force between frame and wall, nought where it is round-off")
def wall_push(sideways, axial_floor):
    return np.where(np.abs(sideways) > axial_floor, np.abs(sideways), 0.0)


@quantity("zero", "N", says="no push at all")
def no_push():
    return 0.0


@quantity("shares a sideways hold", "", says="one of several bearings of a roof that are held sideways, no thrust declared")
def may_push(shares_thrust):
    return shares_thrust


RULE = Rule(
    slug="wall-thrust",
    title="The roof does not push its walls apart unless the thrust is declared",
    why="Two bearings held sideways turn the walls into part of the truss: the tie looks unloaded on paper while the walls lean outwards.",
    scope=SUPPORT,
    purpose=STRENGTH,
    demand=wall_push,
    limit=no_push,
    when=may_push,
    because="does not share a sideways hold, or its thrust is declared",
    cites=HELD,
    message="Support {element}: the frame pushes the wall sideways with {demand}, under {combination}; more than one bearing is held sideways and nobody has declared who takes the thrust.",
    remedies=("let all bearings but one move sideways", "declare what takes the thrust (thrust_by)"),
)
