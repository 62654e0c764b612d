"""Grades have their values up to a depth only, AS 1720.1 Appendix H."""

from __future__ import annotations

from rules.library import MEMBER, PRACTICE, Rule, clause, quantity

DEPTH = clause("Tables H2.1 and H3.1")


@quantity("d", "mm", says="larger side of one ply")
def depth_of_grade(largest_side):
    return largest_side


@quantity("d_max", "mm", cites=DEPTH)
def deepest_of_grade(deepest):
    return deepest


@quantity("graded timber", "", says="solid timber")
def is_graded(is_solid, is_timber):
    return is_solid & is_timber


RULE = Rule(
    slug="grade-depth",
    title="The piece is not deeper than its grade's values are for",
    why="A deep piece is weaker for its size: the values held here are those of shallow ones.",
    scope=MEMBER,
    purpose=PRACTICE,
    demand=depth_of_grade,
    limit=deepest_of_grade,
    when=is_graded,
    because="is no graded solid timber",
    cites=DEPTH,
    message="{element}: it is {demand} deep where {limit} is the most its grade's values, from memory, are for.",
    remedies=("the values of its size, stated in the design", "a shallower section"),
)
