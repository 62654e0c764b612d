"""Tension and bending together stay within what the piece can carry, CSA O86 6.5.10."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.canada_timber.quantities.forces import is_bent_and_pulled

HERE = clause("6.5.10")


@quantity("T_f/T_r + M_f/M_r", "1", cites=HERE)
def bending_with_tension(pull, tension_resistance, moment, moment_resistance):
    return pull / tension_resistance + moment / moment_resistance


RULE = Rule(
    slug="bending-with-tension",
    title="Tension and bending together stay within what the piece can carry",
    why="A ceiling tie is pulled by the rafters and bent by the ceiling; each alone may be small.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=bending_with_tension,
    when=is_bent_and_pulled,
    because="is never bent and pulled at once",
    cites=HERE,
    message="{element}: pull and bending together use {percent} of what the piece can carry, {at}, under {combination}; the formula of CSA O86 is from memory.",
    remedies=("a deeper section", "a higher grade"),
)
