"""Holes and notches: no rule here judges them."""

from __future__ import annotations

from rules.library import MEMBER, ONE, STRENGTH, Kind, Rule, clause
from rules.packs.australia_timber.quantities.forces import has_cuts

RULE = Rule(
    slug="cuts",
    title="Holes and notches are judged",
    why="Pipes and cables take the timber that was counted on; a notch on the pulled side splits a joist at a fraction of its strength.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=ONE,
    when=has_cuts,
    because="has no holes or notches",
    outcome=Kind.OPEN,
    undecided=has_cuts,
    ask="Holes and notches are not judged by this pack: an engineer must check them. (holes, notches)",
    cites=clause("notches and holes"),
    message="{element}: its holes or notches are not judged here.",
)
