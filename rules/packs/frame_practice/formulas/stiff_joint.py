"""A joint taken as rigid or sprung must be checked for the moment it passes."""

from __future__ import annotations

from rules.library import MEMBER, ONE, STRENGTH, Kind, Rule, clause, quantity


@quantity("has a stiff end", "", says="an end that is rigid or sprung rather than pinned")
def is_stiff_at_an_end(stiff_end):
    return stiff_end


RULE = Rule(
    slug="stiff-joint",
    title="A joint that passes moment is checked for it",
    why="A plated or nailed joint is only as stiff as somebody has proved; a rigid end takes moment away from where it really goes.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=ONE,
    when=is_stiff_at_an_end,
    because="is pinned at both ends",
    outcome=Kind.OPEN,
    undecided=is_stiff_at_an_end,
    ask="Show that the joint carries this moment with this stiffness, or pin the end. (ends)",
    cites=clause("stiff joints", seen="practice"),
    message="{element}: an end is taken as stiff, and its joint is not checked for the moment it passes.",
)
