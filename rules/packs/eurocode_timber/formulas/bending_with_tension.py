"""Bending and tension together, EN 1995-1-1 6.2.3, bending about the strong axis only."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.stresses import is_bent_and_pulled


@quantity("η", "1", cites=clause("6.2.3", equation="(6.17)"))
def bending_with_tension(sigma_t, f_t0d, sigma_my, f_myd):
    return sigma_t / f_t0d + sigma_my / f_myd


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
