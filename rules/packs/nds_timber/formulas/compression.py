"""Compression along the grain with buckling about both axes, NDS 3.6 and 3.7."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.nds_timber.quantities.stability import COLUMN
from rules.packs.nds_timber.quantities.stresses import is_pressed


@quantity("f_c / F_c'", "1", cites=COLUMN)
def compression_ratio(compression_stress, f_c_adjusted):
    return compression_stress / f_c_adjusted


RULE = Rule(
    slug="compression",
    title="Compression along the grain does not crush or buckle the piece",
    why="A slender strut bows sideways long before its timber is crushed; what holds it at mid-length decides what it carries.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=compression_ratio,
    when=is_pressed,
    because="is never pressed",
    cites=COLUMN,
    message="{element}: the push along the grain, with buckling, uses {percent} of the timber's adjusted value, {at}, under {combination}.",
    remedies=("a brace that shortens the buckling length, anchored by diagonals", "a wider section"),
)
