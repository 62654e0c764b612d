"""Compression along the grain does not crush or buckle the piece, CSA O86 6.5.6."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.canada_timber.quantities.forces import is_pressed
from rules.packs.canada_timber.quantities.restated import restated

HERE = restated("6.5.6")


@quantity("P_f / P_r", "1", cites=HERE)
def compression_ratio(push, compression_resistance):
    return push / compression_resistance


RULE = Rule(
    slug="compression",
    title="Compression along the grain does not crush or buckle the piece",
    why="A slender strut bows sideways long before its timber is crushed; what holds it at mid-length decides what it carries.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=compression_ratio,
    when=is_pressed,
    because="is never pressed",
    cites=HERE,
    message="{element}: the push along the grain, with buckling, uses {percent} of what the piece can carry, {at}, under {combination}.",
    remedies=("a brace that shortens the buckling length, anchored by diagonals", "a wider section"),
)
