"""Holes and notches take section away; this release does not judge them."""

from __future__ import annotations

from rules.library import MEMBER, ONE, STRENGTH, Kind, Rule, clause, quantity


@quantity("is cut", "", says="a piece with holes or notches")
def is_cut(cut_count):
    return cut_count > 0


RULE = Rule(
    slug="cuts",
    title="Holes and notches are allowed for",
    why="A notch on the pulled side splits a joist at a fraction of its strength.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=ONE,
    when=is_cut,
    because="has no holes or notches",
    outcome=Kind.OPEN,
    undecided=is_cut,
    ask="An engineer must check the section left at the holes and notches given.",
    cites=clause("5.2, 6.5"),
    message="{element}: it has holes or notches, and the section they take away is not judged here.",
)
