"""Notches and holes in solid joists and rafters, IRC R502.8.1 and R802.7.1. Trusses may not be cut at all: a rule of its own says so."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, PRACTICE, Quantity, Rule, clause, quantity

CUTS = clause("R502.8.1 and R802.7.1", seen="read", source="https://hinarratives.com/notching-boring-framing/")


@quantity("solid", "", says="a solid piece of timber that is no part of a truss")
def may_be_cut(component_type, is_timber):
    return ~(component_type.equals("trussed-rafter") | component_type.equals("open-web-joist")) & is_timber


@quantity("notched", "", says="a notch away from the bearings")
def has_inner_notch(is_notch, is_notch_over_bearing, may_be_cut):
    return is_notch & ~is_notch_over_bearing & may_be_cut


@quantity("notched at a bearing", "", says="a notch over a bearing")
def has_end_notch(is_notch_over_bearing, may_be_cut):
    return is_notch_over_bearing & may_be_cut


@quantity("notched and thick", "", says="a notch away from the bearings of a piece nominally four inches thick or more")
def has_thick_notch(has_inner_notch, b, thick_from):
    return has_inner_notch & (b >= thick_from)


@quantity("bored", "", says="a hole on the axis")
def has_hole(is_hole, may_be_cut):
    return is_hole & may_be_cut


@quantity("depth of the cut", "mm", cites=CUTS)
def cut_found(cut_depth):
    return cut_depth


@quantity("limit", "mm", cites=CUTS, says="a sixth of the depth; nought in the middle third of the piece")
def inner_notch_limit(h, notch_share_most, place_along, third_from, third_to):
    return np.where((place_along > third_from) & (place_along < third_to), 0.0, notch_share_most * h)


@quantity("length of the notch", "mm", cites=CUTS)
def notch_length_found(cut_length):
    return cut_length


@quantity("limit", "mm", cites=CUTS)
def notch_length_limit(h, notch_length_share_most):
    return notch_length_share_most * h


@quantity("limit", "mm", cites=CUTS, says="nought in the face that bending pulls, the usual sixth in the other")
def thick_notch_limit(h, notch_share_most, is_upper_notch, sagging, moment_floor):
    pulled = np.where(is_upper_notch, sagging < -moment_floor, sagging > moment_floor)
    return np.where(pulled, 0.0, notch_share_most * h)


@quantity("limit", "mm", cites=CUTS)
def end_notch_limit(h, end_notch_share_most):
    return end_notch_share_most * h


@quantity("limit", "mm", cites=CUTS, says="a third of the depth, and two inches left on either side")
def hole_limit(h, hole_share_most, hole_edge_least):
    return np.minimum(hole_share_most * h, np.maximum(h - 2.0 * hole_edge_least, 0.0))


def _rule(part: str, title: str, limit: Quantity, when: Quantity, because: str, what: str, found: Quantity = cut_found) -> Rule:
    return Rule(
        slug="cut-limits",
        part=part,
        title=title,
        why="A notch or hole in the wrong place takes away far more than its depth.",
        scope=MEMBER,
        purpose=PRACTICE,
        demand=found,
        limit=limit,
        when=when,
        because=because,
        cites=CUTS,
        message=f"{{element}}: {what} is {{demand}} {'long' if found is notch_length_found else 'deep'} where {{limit}} is the most, {{at}}.",
        remedies=("a shallower cut", "a cut in another place"),
    )


RULES = (
    _rule(
        "notch", "A notch is no deeper than a sixth, and none is in the middle third", inner_notch_limit, has_inner_notch,
        "is no solid piece with a notch between its bearings", "a notch",
    ),
    _rule(
        "notch-length", "A notch is no longer than a third of the depth", notch_length_limit, has_inner_notch,
        "is no solid piece with a notch between its bearings", "a notch", notch_length_found,
    ),
    _rule(
        "thick-notch", "A piece four inches thick is not notched in the face that bending pulls", thick_notch_limit, has_thick_notch,
        "has no notch between its bearings, or is thinner than four inches", "a notch in a thick piece",
    ),
    _rule(
        "end-notch", "A notch at the end is no deeper than a quarter", end_notch_limit, has_end_notch,
        "is no solid piece with a notch over a bearing", "a notch over the bearing",
    ),
    _rule(
        "hole", "A hole is no larger than a third and keeps two inches from the edges", hole_limit, has_hole,
        "is no solid piece with a hole", "a hole",
    ),
)  # fmt: skip
