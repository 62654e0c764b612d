"""Bending and compression together, NDS 3.9.2, bending in the plane of the frame only."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Quantity, Rule, clause, quantity
from rules.packs.nds_timber.quantities.stresses import is_bent_and_pressed

SOURCE = "numbers of American Wood Council, Structural Wood Design Examples 2015/2018, example E1.7; the formula from memory"
TOGETHER = clause("3.9.2", equation="(3.9-3)", seen="read", source=SOURCE)
SIDEWAYS = clause("3.9.2", equation="(3.9-4)")
LEAST = 1e-6
"""What is left of the stiffness of a piece that has buckled: never nought, so that its ratio stays a number."""


@quantity("1 − f_c/F_cE1", "1", cites=TOGETHER, says="1 − f_c/F_cE1, hardly anything where the piece has buckled in the plane")
def stiffness_left(compression_stress, f_ce_in_plane):
    return np.maximum(1.0 - compression_stress / f_ce_in_plane, LEAST)


@quantity("η", "1", cites=TOGETHER, says="(f_c/F_c')² + f_b/(F_b' (1 − f_c/F_cE1)); never less than f_c/F_cE1")
def bending_with_compression(compression_stress, f_c_adjusted, bending_stress, f_b_adjusted, stiffness_left, f_ce_in_plane):
    both = (compression_stress / f_c_adjusted) ** 2 + bending_stress / (f_b_adjusted * stiffness_left)
    return np.maximum(both, compression_stress / f_ce_in_plane)


@quantity("η", "1", cites=SIDEWAYS, says="f_c/F_cE2 + (f_b/F_bE)²")
def buckling_with_tipping(compression_stress, f_ce_sideways, bending_stress, f_be):
    return compression_stress / f_ce_sideways + (bending_stress / f_be) ** 2


def _rule(part: str, title: str, demand: Quantity, message: str) -> Rule:
    return Rule(
        slug="bending-with-compression",
        part=part,
        title=title,
        why="A rafter is pressed along its length and bent by its covering; the push makes the bow worse.",
        scope=MEMBER,
        purpose=STRENGTH,
        demand=demand,
        when=is_bent_and_pressed,
        because="is never bent and pressed at once",
        cites=SIDEWAYS if part == "sideways" else TOGETHER,
        message=message,
        remedies=("a deeper section", "restraint at closer spacing, anchored by diagonals", "a shorter bay"),
    )


RULES = (
    _rule(
        "in-plane",
        "Compression, buckling and bending together stay within what the piece can carry",
        bending_with_compression,
        "{element}: push, buckling and bending together use {percent} of what the piece can carry, {at}, under {combination}.",
    ),
    _rule(
        "sideways",
        "Buckling sideways and tipping together stay below what is critical",
        buckling_with_tipping,
        "{element}: buckling sideways and tipping together reach {percent} of what is critical, {at}, under {combination}.",
    ),
)
