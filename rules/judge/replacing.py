"""What is lost where load cases of the design's own stand in place of derived ones: told case by case, and asked for where the roof itself says it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rules.library import Derivation, Doubt
from rules.subject.design import Design

FAMILIES = {"snow": "snow", "wind": "wind", "roof-imposed": "maintenance"}
"""Natures whose cases stand or fall together, each with the word its derived cases and doubts begin with."""


def lost_with_them(design: Design, told: Sequence[Derivation]) -> Iterator[Doubt]:
    """A doubt for every nature whose derived cases are left out for others, and for every drift that goes with them."""
    derived = {each.action.id for each in told}
    for nature, family in FAMILIES.items():
        own = [action.id for action in design.actions if action.nature == nature and action.loads and action.id not in derived]
        lost = [
            each.action.id
            for each in told
            if each.replaced and each.action.id.startswith(f"{family}-") and not _answered(design, each.action.id)
        ]
        if own and lost:
            yield _review(family, own, lost)
        if own and nature == "snow":
            yield from _drifts(design)


def _answered(design: Design, case: str) -> bool:
    """Whether the design gives this very case, or declines it."""
    return any(case in (action.id, action.declines) for action in design.actions)


def _review(family: str, own: Sequence[str], lost: Sequence[str]) -> Doubt:
    message = f"The design states {family} of its own ({', '.join(own)}), so what was worked out is left out: {', '.join(lost)}."
    ask = "An engineer must see that nothing is missing for it. A case of the same id replaces that one alone."
    return Doubt(f"own-{family}", "review", message, ask, "/actions")


def _drifts(design: Design) -> Iterator[Doubt]:
    """Every obstacle the roof is said to have, against which the design's own snow does not say that any drifts."""
    for case, obstacle in _obstacles(design):
        if not _answered(design, case):
            message = f"The design states snow of its own, and none that drifts against {obstacle}."
            ask = f'Give it as an action of the id "{case}", or decline it with a reason: {{"id": "no-drift", "nature": "snow", "declines": "{case}", "none_because": "…"}}'
            yield Doubt(case, "open", message, ask, "/actions")


def _obstacles(design: Design) -> Iterator[tuple[str, str]]:
    if design.roof is None:
        return
    for each in design.roof.neighbours:
        what = ("wall", "the higher building") if each.what == "taller-building" else ("valley", "the slope in the valley")
        yield f"snow-{what[0]}-{each.side}", f"{what[1]} on the {each.side}"
    for parapet in design.roof.parapets:
        yield f"snow-parapet-{parapet.side}", f"the parapet on the {parapet.side}"
