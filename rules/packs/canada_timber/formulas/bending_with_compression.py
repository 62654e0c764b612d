"""Compression, CSA O86 6.5.10."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.canada_timber.quantities.forces import is_bent_and_pressed

HERE = clause("6.5.10")

LEAST = 1e-6
"""What is left of the stiffness of a piece that has buckled: never nought, so that its ratio stays a number."""


@quantity("1 − P_f/P_E", "1", cites=HERE, says="1 − P_f/P_E, hardly anything where the piece has buckled in the plane")
def stiffness_left(push, euler_load):
    return np.maximum(1.0 - push / euler_load, LEAST)


@quantity("(P_f/P_r)² + M_f/(M_r (1 − P_f/P_E))", "1", cites=HERE)
def bending_with_compression(push, compression_resistance, moment, moment_resistance, stiffness_left):
    return (push / compression_resistance) ** 2 + moment / (moment_resistance * stiffness_left)


RULE = Rule(
    slug="bending-with-compression",
    title="Compression, buckling and bending together stay within what the piece can carry",
    why="A rafter is pressed along its length and bent by its covering; the push makes the bow worse.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=bending_with_compression,
    when=is_bent_and_pressed,
    because="is never bent and pressed at once",
    cites=HERE,
    message="{element}: push, buckling and bending together use {percent} of what the piece can carry, {at}, under {combination}; the formula of CSA O86 is from memory.",
    remedies=("a deeper section", "restraint at closer spacing, anchored by diagonals", "a shorter bay"),
)
