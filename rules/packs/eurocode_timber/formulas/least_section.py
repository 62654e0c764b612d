"""How thin a piece of a plated truss may be, EN 14250."""

from __future__ import annotations

from rules.library import MEMBER, PRACTICE, Citation, Rule, quantity

PRODUCT = Citation("thickness of the pieces", seen="memory", document="EN 14250", edition="2010")


@quantity("b_min", "mm", cites=PRODUCT)
def thickness_needed(least_thickness):
    return least_thickness


@quantity("b", "mm", says="breadth of one ply", cites=PRODUCT)
def thickness_given(b):
    return b


@quantity("has a least thickness", "", says="timber of a component whose pieces have a least thickness")
def has_least_thickness(least_thickness, is_timber):
    return (least_thickness > 0.0) & is_timber


RULE = Rule(
    slug="least-section",
    title="The piece is thick enough for plates and handling",
    why="Teeth split thin timber, and a thin truss bends double as it is lifted.",
    scope=MEMBER,
    purpose=PRACTICE,
    demand=thickness_needed,
    limit=thickness_given,
    when=has_least_thickness,
    because="is no timber of a plated truss",
    cites=PRODUCT,
    message="{element}: it is {limit} thick and has to be {demand}.",
    remedies=("a thicker section",),
)
