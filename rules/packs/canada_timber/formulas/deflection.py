"""Movement under all load, CSA O86 5.4.2."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, SERVICEABILITY, Rule, clause, quantity

HERE = clause("5.4.2")


@quantity("Δ", "mm", cites=HERE)
def movement(w_span):
    return np.abs(w_span)


@quantity("limit", "mm", cites=HERE, says="span over 180; an overhang counts as twice its length")
def movement_limit(span_length, is_cantilever, span_over_movement):
    return span_length * np.where(is_cantilever, 2.0, 1.0) / span_over_movement


@quantity("spans", "", says="a timber chord, rafter or joist of a frame that spans between supports")
def spans(is_timber, is_inner, span_length):
    return is_timber & ~is_inner & (span_length > 0.0)


RULE = Rule(
    slug="deflection",
    part="span-instant",
    title="The frame does not move too far under all load",
    why="A floor or roof that sags holds water, cracks its finishes and feels unsafe.",
    scope=MEMBER,
    purpose=SERVICEABILITY,
    under=("characteristic",),
    demand=movement,
    limit=movement_limit,
    when=spans,
    because="has no free length to deflect over",
    cites=HERE,
    message="{element}: it moves {demand} where {limit} is the limit, {at}, under {combination}; the limit is from memory.",
    remedies=("a deeper section", "closer spacing"),
)
