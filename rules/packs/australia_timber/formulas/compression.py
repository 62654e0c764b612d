"""Compression along the grain does not crush or buckle the piece, AS 1720.1 3.3.1."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.australia_timber.quantities.forces import is_pressed
from rules.packs.australia_timber.quantities.restated import restated

HERE = restated("3.3.1")


@quantity("N_c* / N_d,c", "1", cites=HERE)
def compression_ratio(push, compression_in_plane, compression_sideways):
    return push / np.minimum(compression_in_plane, compression_sideways)


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
