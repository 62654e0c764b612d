"""Bending and tension together, NDS 3.9.1, bending in the plane of the frame only."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.nds_timber.quantities.stresses import is_bent_and_pulled

TOGETHER = clause("3.9.1", equation="(3.9-1), (3.9-2)")


@quantity("f_t/F_t' + f_b/F_b*", "1", cites=TOGETHER, says="f_t/F_t' + f_b/(F_b* C_fu): the pulled edge, tipping left out")
def pulled_edge(tension_stress, f_t_adjusted, bending_stress, f_b_star, c_fu):
    return tension_stress / f_t_adjusted + bending_stress / (f_b_star * c_fu)


@quantity(
    "(f_b − f_t)/F_b**", "1", cites=TOGETHER, says="(f_b − f_t)/F_b', nought where the pull is the greater: the pressed edge, with tipping"
)
def pressed_edge(bending_stress, tension_stress, f_b_adjusted):
    return np.maximum(bending_stress - tension_stress, 0.0) / f_b_adjusted


@quantity("η", "1", cites=TOGETHER)
def bending_with_tension(pulled_edge, pressed_edge):
    return np.maximum(pulled_edge, pressed_edge)


RULE = Rule(
    slug="bending-with-tension",
    title="Tension and bending together stay within the timber's value",
    why="A ceiling tie is pulled by the rafters and bent by the ceiling; each alone may be small.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=bending_with_tension,
    when=is_bent_and_pulled,
    because="is never bent and pulled at once",
    cites=TOGETHER,
    message="{element}: pull and bending together use {percent} of the timber's adjusted values, {at}, under {combination}.",
    remedies=("a deeper section", "a higher grade"),
)
