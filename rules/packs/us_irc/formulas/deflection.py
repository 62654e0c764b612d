"""Movement under live load, snow or wind, IRC Table R301.7. Movement under dead load has no limit there."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, SERVICEABILITY, Rule, clause, quantity

TABLE = clause(
    "Table R301.7",
    seen="read",
    source="a sheet of a proposed change, https://scribd.com/document/351528533/IRC-Table-R301-7-New-11-05-12pdc-pdf",
)


@quantity("Δ", "mm", cites=TABLE)
def live_movement_found(w_span):
    return np.abs(w_span)


@quantity("steep", "", cites=TABLE, says="a rafter or top chord steeper than three in twelve with no ceiling fixed to it")
def is_steep_and_bare(without_ceiling, slope_deg, steep_deg):
    return (without_ceiling > 0.0) & (slope_deg > steep_deg)


@quantity("L/Δ", "1", cites=TABLE)
def live_movement_allowed(is_steep_and_bare, live_movement_steep, live_movement):
    return np.where(is_steep_and_bare, live_movement_steep, live_movement)


@quantity("limit", "mm", cites=TABLE, says="span over that; an overhang counts as twice its length")
def live_movement_limit(span_length, is_cantilever, live_movement_allowed):
    return span_length * np.where(is_cantilever, 2.0, 1.0) / live_movement_allowed


@quantity("spans", "", says="a timber chord, rafter or joist of a frame that spans between supports")
def spans_in_timber(is_timber, is_inner, span_length):
    return is_timber & ~is_inner & (span_length > 0.0)


RULE = Rule(
    slug="deflection",
    part="live",
    title="The frame does not move too far under live load, snow or wind",
    why="Ceilings crack and floors feel unsafe where the load that comes and goes moves them too far.",
    scope=MEMBER,
    purpose=SERVICEABILITY,
    under=("variable",),
    demand=live_movement_found,
    limit=live_movement_limit,
    when=spans_in_timber,
    because="has no free length to deflect over",
    cites=TABLE,
    message="{element}: it moves {demand} where {limit} is the limit, {at}, under {combination}.",
    remedies=("a deeper section", "closer spacing"),
)
