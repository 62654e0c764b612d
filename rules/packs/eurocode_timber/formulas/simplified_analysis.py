"""Where the simplified analysis may be taken, EN 1995-1-1 5.4.3: each condition by itself, open where it is not met."""

from __future__ import annotations

from rules.library import DESIGN, ONE, PRACTICE, Kind, Rule, clause
from rules.packs.eurocode_timber.quantities.simplified import (
    bearing_off_node,
    corner_inwards,
    ends_not_pinned,
    ends_off_node,
    height_found,
    is_simplified,
    least_height_by_depth,
    least_height_by_span,
    no_angle,
    no_length,
    none_at_all,
    open_panels,
)

CONDITION = clause("5.4.3(1)")
GENERAL = "Take the general analysis. (codes.parameters.analysis)"


def _rule(part: str, title: str, demand, limit, ask: str) -> Rule:
    return Rule(
        slug="simplified-analysis",
        part=part,
        title=title,
        why="The short way of working out a truss leaves out what only trusses of its own kind can spare.",
        scope=DESIGN,
        purpose=PRACTICE,
        demand=demand,
        limit=limit,
        when=is_simplified,
        because="is not analysed by the simplified analysis",
        beyond=Kind.OPEN,
        ask=f"{ask} {GENERAL}",
        cites=CONDITION,
        message=f"{title}: {{demand}}, {{limit}} is the limit.",
        remedies=("the general analysis",),
    )


RULES = (
    _rule(
        "panels", "The truss is made of triangles only", open_panels, none_at_all,
        "The simplified analysis is for trusses made of triangles only, and here some panel is none.",
    ),
    _rule(
        "outline", "No corner of the truss points inwards", corner_inwards, no_angle,
        "The simplified analysis is for outlines without corners that point inwards, and here one does, by {demand}.",
    ),
    _rule(
        "height-for-span", "The truss is high enough for its span", least_height_by_span, height_found,
        "The simplified analysis asks for a height of at least {demand} at this span, and the truss is {limit} high.",
    ),
    _rule(
        "height-for-depth", "The truss is high enough for the depth of its pieces", least_height_by_depth, height_found,
        "The simplified analysis asks for a height of at least {demand} with pieces of this depth, and the truss is {limit} high.",
    ),
    _rule(
        "bearings", "Every bearing lies at its node", bearing_off_node, ONE,
        "The simplified analysis asks for bearings at their nodes, and one lies {demand} times as far off as is allowed.",
    ),
    _rule(
        "ends", "Every end is pinned", ends_not_pinned, none_at_all,
        "The simplified analysis takes every end as pinned, and ends that pass moment are stated: {demand}.",
    ),
    _rule(
        "system-lines", "The pieces meet at the nodes", ends_off_node, no_length,
        "The simplified analysis wants pieces to meet at the nodes, and one ends {demand} off.",
    ),
)  # fmt: skip
