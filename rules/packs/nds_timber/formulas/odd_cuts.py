"""Cuts that no rule here knows how to judge."""

from __future__ import annotations

from rules.library import MEMBER, ONE, STRENGTH, Kind, Rule, clause, quantity


@quantity("cut in a way not covered", "", says="holes or notches closer than a depth, in a side face, or not wholly described")
def has_odd_cuts(is_odd_cut):
    return is_odd_cut


RULE = Rule(
    slug="odd-cuts",
    title="Its cuts are of a kind that can be judged",
    why="Cuts close together, or in the side of a piece, weaken it in ways that no simple section shows.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=ONE,
    when=has_odd_cuts,
    because="has no cuts but those that are judged",
    outcome=Kind.OPEN,
    undecided=has_odd_cuts,
    ask="Its holes and notches are closer than a depth, in a side face, or not wholly described: describe them, or have an engineer check them. (holes, notches)",
    cites=clause("3.2.3"),
    message="{element}: its holes or notches are of a kind that is not judged here.",
)
