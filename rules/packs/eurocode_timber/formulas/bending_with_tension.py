"""Bending and tension together, EN 1995-1-1 6.2.3, bending about the strong axis only."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.stresses import is_bent_and_pulled

SMALL = clause("9.2.2(3)", seen="memory")


@quantity("η_6.17", "1", cites=clause("6.2.3", equation="(6.17)"))
def pull_with_bending(sigma_t, f_t0d, sigma_my, f_myd):
    return sigma_t / f_t0d + sigma_my / f_myd


@quantity(
    "relieved", "", says="a person on a truss of triangles, little pull and push beside, and the caller takes the relief", cites=SMALL
)
def is_relieved(is_triangulated_truss, small_load_relief, small_load, small_load_most, sigma_t, f_t0d, small_load_axial):
    small = (small_load > 0.0) & (small_load < small_load_most)
    may_be = is_triangulated_truss & (small_load_relief == 1.0) & small
    return may_be & (sigma_t <= small_load_axial * f_t0d) if np.any(may_be) else may_be


@quantity(
    "η",
    "1",
    says="(6.17); where the load is small and relieved, bending alone against its lesser share",
    cites=clause("6.2.3", equation="(6.17)"),
)
def bending_with_tension(is_relieved, pull_with_bending, sigma_my, f_myd, small_load_bending):
    if not np.any(is_relieved):
        return pull_with_bending
    return np.where(is_relieved, np.minimum(pull_with_bending, sigma_my / (small_load_bending * f_myd)), pull_with_bending)


RULE = Rule(
    slug="bending-with-tension",
    title="Tension and bending together stay within the timber's strength",
    why="A ceiling tie is pulled by the rafters and bent by the ceiling at the same time; both use the same fibres.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=bending_with_tension,
    when=is_bent_and_pulled,
    because="is never bent and pulled at once",
    cites=clause("6.2.3", equation="(6.17)"),
    message="{element}: pull and bending together use {percent} of the timber's strength, {at}, under {combination}.",
    remedies=("a deeper section", "a higher strength class"),
)
