"""Tension along the grain, NDS 3.8."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.nds_timber.quantities.stresses import is_pulled

TENSION = clause("3.8")


@quantity("f_t / F_t'", "1", cites=TENSION)
def tension_ratio(tension_stress, f_t_adjusted):
    return tension_stress / f_t_adjusted


RULE = Rule(
    slug="tension",
    title="Tension along the grain stays within the timber's value",
    why="A tie that is pulled beyond its strength breaks without warning, and the roof spreads.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=tension_ratio,
    when=is_pulled,
    because="is never pulled",
    cites=TENSION,
    message="{element}: the pull along the grain uses {percent} of the timber's adjusted value, {at}, under {combination}.",
    remedies=("a deeper or wider section", "a higher grade"),
)
