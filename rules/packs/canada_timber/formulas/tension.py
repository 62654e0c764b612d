"""Tension along the grain stays within what the piece can carry, CSA O86 6.5.9."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.canada_timber.quantities.forces import is_pulled

HERE = clause("6.5.9")


@quantity("T_f / T_r", "1", cites=HERE)
def tension_ratio(pull, tension_resistance):
    return pull / tension_resistance


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
    message="{element}: the pull along the grain uses {percent} of what the piece can carry, {at}, under {combination}; the formula of CSA O86 is from memory.",
    remedies=("a deeper or wider section", "a higher grade"),
)
