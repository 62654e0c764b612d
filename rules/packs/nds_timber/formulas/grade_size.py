"""Some grades have values for one width only, NDS Supplement Tables 4A and 4B."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, PRACTICE, Rule, clause, quantity

SIZES = clause("Supplement, Tables 4A and 4B")


@quantity("b", "mm", says="larger side of one ply")
def width_of_grade(largest_side):
    return largest_side


@quantity("limit", "mm", cites=SIZES, says="the greatest width the grade is for; nought where the piece is narrower than it is for")
def width_limit(largest_side, size_from, size_to):
    return np.where(largest_side > size_from, size_to, 0.0)


@quantity("graded timber", "", says="solid timber")
def is_graded(is_solid, is_timber):
    return is_solid & is_timber


RULE = Rule(
    slug="grade-size",
    title="The grade is that of the piece's width",
    why="Southern Pine loses strength with width, so its values are listed by width: those of a narrow piece are too high for a wide one.",
    scope=MEMBER,
    purpose=PRACTICE,
    demand=width_of_grade,
    limit=width_limit,
    when=is_graded,
    because="is no graded solid timber",
    cites=SIZES,
    message="{element}: a width of {demand} is not what its grade's values are for.",
    remedies=("the grade named for this width", "a section the grade is for"),
)
