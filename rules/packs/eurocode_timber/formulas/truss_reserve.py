"""A reserve of a tenth where a truss is loaded at its nodes, EN 1995-1-1 9.2.1(1): moments nobody calculates are there all the same."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.formulas.bending_with_compression import crushing_with_bending

RESERVE = clause("9.2.1(1)", equation="(6.19), (6.20)")


@quantity("η_lim", "1", says="the greatest sum of ratios allowed", cites=RESERVE)
def reserve_limit(truss_stress_limit):
    return truss_stress_limit


@quantity("pressed at its nodes", "", says="a pressed piece of a truss without loads between its nodes")
def is_pressed_at_nodes(is_loaded_at_nodes, carries_compression):
    return is_loaded_at_nodes & carries_compression


RULE = Rule(
    slug="truss-reserve",
    title="A pressed truss piece that is loaded at its nodes keeps a tenth in hand",
    why="Stiff plates bend webs that the analysis leaves straight; the reserve stands for what it does not see.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=crushing_with_bending,
    limit=reserve_limit,
    when=is_pressed_at_nodes,
    because="is no truss piece loaded at its nodes only, or is never pressed",
    cites=RESERVE,
    message="{element}: push and bending reach {demand} of the timber's strength where {limit} is allowed, {at}, under {combination}.",
    remedies=("a deeper or wider section", "a higher strength class"),
)
