"""How slender a pressed piece may be at all, CSA O86 6.5.6.1. No share of what timber carries, so none of strength."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, PRACTICE, Rule, quantity
from rules.packs.canada_timber.quantities.forces import is_pressed
from rules.packs.canada_timber.quantities.restated import restated

HERE = restated("6.5.6.1")


@quantity("C_c", "1", cites=HERE, says="the greater of the two slendernesses")
def column_slenderness(c_c_in_plane, c_c_sideways):
    return np.maximum(c_c_in_plane, c_c_sideways)


@quantity("limit", "1", cites=HERE)
def column_slenderness_limit(slenderness_most):
    return slenderness_most


RULE = Rule(
    slug="slenderness",
    part="column",
    title="A pressed piece is not too slender",
    why="Beyond this slenderness a small crookedness decides, and no formula holds.",
    scope=MEMBER,
    purpose=PRACTICE,
    demand=column_slenderness,
    limit=column_slenderness_limit,
    when=is_pressed,
    because="is never pressed",
    cites=HERE,
    message="{element}: its slenderness is {demand} where {limit} is the most, {at}, under {combination}.",
    remedies=("restraint at closer spacing, anchored by diagonals", "a wider section"),
)
