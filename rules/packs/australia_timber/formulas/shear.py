"""Shear does not split the piece along its grain, AS 1720.1 3.2.5."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.australia_timber.quantities.forces import is_sheared
from rules.packs.australia_timber.quantities.restated import restated

HERE = restated("3.2.5")


@quantity("V* / V_d", "1", cites=HERE)
def shear_ratio(v, shear_capacity):
    return abs(v) / shear_capacity


RULE = Rule(
    slug="shear",
    title="Shear does not split the piece along its grain",
    why="Near its bearing a heavily loaded short piece splits along the grain before it breaks in bending. No load near the support is left out.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=shear_ratio,
    when=is_sheared,
    because="carries no shear",
    cites=HERE,
    message="{element}: shear uses {percent} of what the piece can carry, {at}, under {combination}.",
    remedies=("a deeper or wider section",),
)
