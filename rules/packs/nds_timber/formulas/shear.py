"""Shear along the grain, NDS 3.4."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.nds_timber.quantities.stresses import is_sheared

SHEAR = clause("3.4.2", equation="(3.4-2)")


@quantity("f_v / F_v'", "1", cites=SHEAR)
def shear_ratio(shear_stress, f_v_adjusted):
    return shear_stress / f_v_adjusted


RULE = Rule(
    slug="shear",
    title="Shear does not split the piece along its grain",
    why="Near its bearing a heavily loaded short piece splits along the grain before it breaks in bending. No load near the support is left out.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=shear_ratio,
    when=is_sheared,
    because="carries no shear",
    cites=SHEAR,
    message="{element}: shear uses {percent} of the timber's adjusted value, {at}, under {combination}.",
    remedies=("a deeper or wider section",),
)
