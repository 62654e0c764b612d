"""A ready-made part, such as a metal web, judged by what its maker declares."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity

DECLARED = clause("the maker's declaration", seen="practice")


@quantity("R", "N", says="the capacity its maker declares, in tension or compression by the sign of the force", cites=DECLARED)
def declared_strength(n, declared_tension, declared_compression):
    return np.where(n >= 0.0, declared_tension, declared_compression)


@quantity("|N| / R", "1", cites=DECLARED)
def declared_use(n, declared_strength):
    return np.abs(n) / declared_strength


@quantity("part by declaration", "", says="a section given by its properties that carries an axial force")
def is_ready_part(is_timber, n, axial_floor):
    return ~is_timber & (np.abs(n) > axial_floor)


@quantity(
    "not decided", "", says="the declared figure is marked as invented, or the part bends, which its tension and compression say nothing of"
)
def is_no_tested_strut(declared_invented, is_bent_between):
    return declared_invented | is_bent_between


RULE = Rule(
    slug="declared-capacity",
    title="A ready-made part carries no more than its maker declares",
    why="Only the maker's tests say what a metal web carries; its section alone says nothing of its teeth.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=declared_use,
    when=is_ready_part,
    because="is timber, or carries no axial force",
    undecided=is_no_tested_strut,
    ask="The capacity given is marked as invented: put in the figure of the maker's declaration. (section.declared) Or the part bends between its nodes, "
    "which what it carries along its length does not cover: an engineer must check it.",
    cites=DECLARED,
    message="{element}: the force uses {percent} of the capacity its maker declares, {at}, under {combination}.",
    remedies=("a stronger part", "shorter panels"),
)
