"""Tension along the grain, EN 1995-1-1 6.1.2."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.strengths import f_t0d
from rules.packs.eurocode_timber.quantities.stresses import carries_tension


@quantity("σ_t,0,d / f_t,0,d", "1", cites=clause("6.1.2", equation="(6.1)"))
def tension_ratio(sigma_t, f_t0d):
    return sigma_t / f_t0d


RULE = Rule(
    slug="tension",
    title="Tension along the grain stays within the timber's strength",
    why="A tie that is pulled beyond its strength breaks without warning, and the roof spreads.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=tension_ratio,
    when=carries_tension,
    because="is never pulled",
    cites=clause("6.1.2", equation="(6.1)"),
    message="{element}: the pull along the grain uses {percent} of the timber's strength, {at}, under {combination}.",
    remedies=("a deeper or wider section", "a higher strength class"),
)

__all__ = ["RULE", "f_t0d", "tension_ratio"]
