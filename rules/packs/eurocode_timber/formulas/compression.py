"""Compression along the grain with buckling about both axes, EN 1995-1-1 6.1.4 and 6.3.2."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.buckling import COLUMN
from rules.packs.eurocode_timber.quantities.stresses import carries_compression


@quantity("k_c", "1", cites=clause("6.3.2(3)", seen="read", source=COLUMN))
def k_c(k_cy, k_cz):
    return np.minimum(k_cy, k_cz)


@quantity("σ_c,0,d / (k_c f_c,0,d)", "1", cites=clause("6.3.2(3)", equation="(6.23), (6.24)", seen="read", source=COLUMN))
def compression_ratio(sigma_c, k_c, f_c0d):
    return sigma_c / (k_c * f_c0d)


RULE = Rule(
    slug="compression",
    title="Compression along the grain does not crush or buckle the piece",
    why="A slender strut bows sideways long before its timber is crushed; what holds it at mid-length decides what it carries.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=compression_ratio,
    when=carries_compression,
    because="is never pressed",
    cites=clause("6.3.2(3)", equation="(6.23), (6.24)", seen="read", source=COLUMN),
    message="{element}: the push along the grain, with buckling, uses {percent} of what the piece can carry, {at}, under {combination}.",
    remedies=("a brace that shortens the buckling length, anchored by diagonals", "a wider section"),
)
