"""Compression, AS 1720.1 3.5.1."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.australia_timber.quantities.forces import is_bent_and_pressed
from rules.packs.australia_timber.quantities.restated import restated

HERE = restated("3.5.1")


@quantity("η", "1", cites=HERE, says="the greater of (M*/M_d)² + N_c*/N_d,cy and M*/M_d + N_c*/N_d,cx")
def bending_with_compression(moment, moment_capacity, push, compression_sideways, compression_in_plane):
    bent = moment / moment_capacity
    return np.maximum(bent**2 + push / compression_sideways, bent + push / compression_in_plane)


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
    message="{element}: push, buckling and bending together use {percent} of what the piece can carry, {at}, under {combination}.",
    remedies=("a deeper section", "restraint at closer spacing, anchored by diagonals", "a shorter bay"),
)
