"""Holes and notches that no rule here covers: an engineer must look."""

from __future__ import annotations

from rules.library import MEMBER, ONE, STRENGTH, Kind, Rule, clause, quantity


@quantity("cut as no rule covers", "", says="a cut that is not described whole, lies in a side face, or is near another")
def is_cut(is_odd_cut):
    return is_odd_cut


RULE = Rule(
    slug="cuts",
    title="Holes and notches are allowed for",
    why="A notch on the pulled side splits a joist at a fraction of its strength.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=ONE,
    when=is_cut,
    because="has no holes or notches but those judged by the section they leave",
    outcome=Kind.OPEN,
    undecided=is_cut,
    ask=(
        "An engineer must check the section left. Judged here are holes on the axis, and notches in the upper or lower face with their "
        "length, in rectangles, a depth apart or more. (holes, notches: face, length_mm)"
    ),
    cites=clause("5.2, 6.5"),
    message="{element}: it has holes or notches whose section is not judged here.",
)
