"""Bending and compression together, EN 1995-1-1 6.2.4 and 6.3.2, bending about the strong axis only."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.buckling import COLUMN
from rules.packs.eurocode_timber.quantities.stresses import is_bent_and_pressed


@quantity("η_6.19", "1", cites=clause("6.2.4", equation="(6.19)"))
def crushing_with_bending(sigma_c, f_c0d, sigma_my, f_myd):
    return (sigma_c / f_c0d) ** 2 + sigma_my / f_myd


@quantity("η_6.23", "1", cites=clause("6.3.2(3)", equation="(6.23)", seen="read", source=COLUMN))
def buckling_in_plane(sigma_c, k_cy, f_c0d, sigma_my, f_myd):
    return sigma_c / (k_cy * f_c0d) + sigma_my / f_myd


@quantity("η_6.24", "1", cites=clause("6.3.2(3)", equation="(6.24)", seen="read", source=COLUMN))
def buckling_out_of_plane(sigma_c, k_cz, f_c0d, k_m, sigma_my, f_myd):
    return sigma_c / (k_cz * f_c0d) + k_m * (sigma_my / f_myd)


@quantity(
    "η",
    "1",
    says="(6.19) for a stocky piece, else the greater of (6.23) and (6.24)",
    cites=clause("6.2.4, 6.3.2(3)", equation="(6.19), (6.23), (6.24)"),
)
def bending_with_compression(is_stocky, crushing_with_bending, buckling_in_plane, buckling_out_of_plane):
    return np.where(is_stocky, crushing_with_bending, np.maximum(buckling_in_plane, buckling_out_of_plane))


RULE = Rule(
    slug="bending-with-compression",
    title="Compression, buckling and bending together stay within what the piece can carry",
    why="A rafter is pressed along its length and bent by the tiles; the push makes the bow worse.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=bending_with_compression,
    when=is_bent_and_pressed,
    because="is never bent and pressed at once",
    cites=clause("6.3.2(3)", equation="(6.23), (6.24)", seen="read", source=COLUMN),
    message="{element}: push, buckling and bending together use {percent} of what the piece can carry, {at}, under {combination}.",
    remedies=("a deeper section", "restraint at closer spacing, anchored by diagonals", "a shorter bay"),
)
