"""Shear along the grain, EN 1995-1-1 6.1.7 with the crack factor of A1:2008."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.stresses import is_sheared


@quantity("τ_d / f_v,d", "1", cites=clause("6.1.7", equation="(6.13)"))
def shear_ratio(tau, f_vd):
    return tau / f_vd


RULE = Rule(
    slug="shear",
    title="Shear does not split the piece along its grain",
    why="Near its bearing a heavily loaded short piece splits along the grain before it breaks in bending. No load near the support is left out.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=shear_ratio,
    when=is_sheared,
    because="carries no shear",
    cites=clause("6.1.7", equation="(6.13)"),
    message="{element}: shear uses {percent} of the timber's strength, {at}, under {combination}.",
    remedies=("a deeper or wider section",),
)
