"""Bending about the strong axis, EN 1995-1-1 6.1.6."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.stresses import is_bent

HANDBOOK = "LVL Handbook Europe 2025, p. 122"


@quantity("σ_m,y,d / f_m,y,d", "1", cites=clause("6.1.6", equation="(6.11)", seen="read", source=HANDBOOK))
def bending_ratio(sigma_my, f_myd):
    return sigma_my / f_myd


RULE = Rule(
    slug="bending",
    title="Bending stays within the timber's strength",
    why="The outer fibres of a bent joist or rafter break first, on the side that is pulled.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=bending_ratio,
    when=is_bent,
    because="is never bent",
    cites=clause("6.1.6", equation="(6.11)", seen="read", source=HANDBOOK),
    message="{element}: bending uses {percent} of the timber's strength, {at}, under {combination}.",
    remedies=("a deeper section", "closer spacing", "a higher strength class"),
)
