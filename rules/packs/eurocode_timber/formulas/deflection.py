"""Deflection, instantaneous and final with creep, EN 1995-1-1 2.2.3 and 7.2. Creep that goes the other way may not have come yet."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, SERVICEABILITY, Rule, clause, quantity

FINAL = clause("2.2.3 and 7.2", equation="(2.3)-(2.5), Table 7.2", seen="read", source="LVL Handbook Europe 2025, pp. 118, 138")


@quantity("w_fin", "mm", cites=FINAL)
def w_bay_final(w_bay, k_def_frame, w_bay_creep):
    return np.maximum(np.abs(w_bay), np.abs(w_bay + k_def_frame * w_bay_creep))


@quantity("w_fin", "mm", cites=FINAL)
def w_span_final(w_span, k_def_frame, w_span_creep):
    return np.maximum(np.abs(w_span), np.abs(w_span + k_def_frame * w_span_creep))


@quantity("w_inst", "mm", cites=FINAL)
def w_span_instant(w_span):
    return np.abs(w_span)


@quantity("k_def", "1", says="the greatest of the pieces', so that creep is never underestimated", cites=clause("Table 3.2, 2.2.3(4)"))
def k_def_frame(k_def, is_timber):
    return np.max(np.where(is_timber, k_def, 0.0))


@quantity("limit", "mm", cites=FINAL)
def bay_final_limit(bay_length, limit_w_net_fin):
    return bay_length / limit_w_net_fin


@quantity("limit", "mm", cites=FINAL)
def span_final_limit(span_length, is_cantilever, limit_w_net_fin_cantilever, limit_w_net_fin):
    return span_length / np.where(is_cantilever, limit_w_net_fin_cantilever, limit_w_net_fin)


@quantity("limit", "mm", cites=FINAL)
def span_instant_limit(span_length, is_cantilever, limit_w_inst_cantilever, limit_w_inst):
    return span_length / np.where(is_cantilever, limit_w_inst_cantilever, limit_w_inst)


@quantity("has a bay", "", says="timber between two nodes that are held by other pieces or supports")
def has_a_bay(is_timber, is_held_bay):
    return is_timber & is_held_bay


@quantity("spans", "", says="a timber chord, rafter or joist of a frame that spans between supports")
def spans(is_timber, is_inner, span_length):
    return is_timber & ~is_inner & (span_length > 0.0)


def _rule(part: str, demand, limit, when, title: str, severity: str) -> Rule:
    return Rule(
        slug="deflection",
        part=part,
        title=title,
        why="A floor or ceiling that sags cracks its finishes and feels unsafe; creep makes the sag of permanent load grow for years.",
        scope=MEMBER,
        purpose=SERVICEABILITY,
        under=("characteristic",),
        demand=demand,
        limit=limit,
        when=when,
        because="has no free length to deflect over",
        severity=severity,
        cites=FINAL,
        message="{element}: it moves {demand} where {limit} is the limit, {at}, under {combination}.",
        remedies=("a deeper section", "closer spacing"),
    )


RULES = (
    _rule(
        "bay-final", w_bay_final, bay_final_limit, has_a_bay, "The piece does not sag too far between its nodes, creep included", "error"
    ),
    _rule(
        "span-final", w_span_final, span_final_limit, spans, "The frame does not sag too far between its supports, creep included", "error"
    ),
    _rule("span-instant", w_span_instant, span_instant_limit, spans, "The frame does not move too far as the load comes on", "note"),
)
