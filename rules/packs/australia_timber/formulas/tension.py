"""Tension along the grain stays within what the piece can carry, AS 1720.1 3.4.1."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.australia_timber.quantities.forces import is_pulled
from rules.packs.australia_timber.quantities.restated import restated

HERE = restated("3.4.1")


@quantity("N_t* / N_d,t", "1", cites=HERE)
def tension_ratio(pull, tension_capacity):
    return pull / tension_capacity


RULE = Rule(
    slug="tension",
    title="Tension along the grain stays within what the piece can carry",
    why="A tie that is pulled beyond its strength breaks without warning, and the roof spreads.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=tension_ratio,
    when=is_pulled,
    because="is never pulled",
    cites=HERE,
    message="{element}: the pull along the grain uses {percent} of what the piece can carry, {at}, under {combination}.",
    remedies=("a deeper or wider section", "a higher grade"),
)
