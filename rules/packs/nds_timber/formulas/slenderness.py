"""How slender columns and beams may be at all, NDS 3.7.1.4 and 3.3.3.7. No share of what timber carries, so none of strength."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, PRACTICE, Quantity, Rule, quantity
from rules.packs.nds_timber.quantities.stability import BEAM, COLUMN, r_b
from rules.packs.nds_timber.quantities.stresses import is_bent, is_pressed


@quantity("l_e/d", "1", cites=COLUMN, says="the greater of the two slendernesses")
def column_slenderness(slenderness_in_plane, slenderness_sideways):
    return np.maximum(slenderness_in_plane, slenderness_sideways)


@quantity("limit", "1", cites=COLUMN)
def column_slenderness_limit(slenderness_most):
    return slenderness_most


@quantity("limit", "1", cites=BEAM)
def beam_slenderness_limit(beam_slenderness_most):
    return beam_slenderness_most


def _rule(part: str, title: str, demand: Quantity, limit: Quantity, when: Quantity, because: str, message: str) -> Rule:
    return Rule(
        slug="slenderness",
        part=part,
        title=title,
        why="Beyond this slenderness a small crookedness decides, and no formula holds.",
        scope=MEMBER,
        purpose=PRACTICE,
        demand=demand,
        limit=limit,
        when=when,
        because=because,
        cites=COLUMN if part == "column" else BEAM,
        message=message,
        remedies=("restraint at closer spacing, anchored by diagonals", "a wider section"),
    )


RULES = (
    _rule(
        "column",
        "A pressed piece is not too slender",
        column_slenderness,
        column_slenderness_limit,
        is_pressed,
        "is never pressed",
        "{element}: its slenderness as a column is {demand} where {limit} is the most, {at}, under {combination}.",
    ),
    _rule(
        "beam",
        "A bent piece is not too slender",
        r_b,
        beam_slenderness_limit,
        is_bent,
        "is never bent",
        "{element}: its slenderness as a beam is {demand} where {limit} is the most, {at}, under {combination}.",
    ),
)
