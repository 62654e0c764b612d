"""A joint taken as rigid or sprung must be checked for the moment it passes, EN 1995-1-1 5.4.2(8)."""

from __future__ import annotations

from rules.library import MEMBER, ONE, STRENGTH, Kind, Rule, clause, quantity


@quantity("has a stiff end", "", says="an end that is rigid or sprung, at a joint whose plates are not given")
def has_a_stiff_end(stiff_end):
    return stiff_end


RULE = Rule(
    slug="stiff-joint",
    title="A joint that passes moment is checked for it",
    why="A plated or nailed joint is only as stiff as somebody has proved; a rigid end takes moment away from where it really goes.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=ONE,
    when=has_a_stiff_end,
    because="has no stiff end but at joints whose plates are judged for the moment",
    outcome=Kind.OPEN,
    undecided=has_a_stiff_end,
    ask="Give the joint's plates (joints), show that it carries this moment with this stiffness, or pin the end. (ends)",
    cites=clause("5.4.2(8)"),
    message="{element}: an end is taken as stiff, and its joint is not checked for the moment it passes.",
)
