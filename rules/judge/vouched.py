"""Strengths of fixings, straps and hangers behind which nobody stands.

Any figure passes that is large enough. One typed in to get past a question looks like one that a maker declares, and only the document it
comes from tells them apart, so a person looks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rules.judge.judgement import EngineRule, Judgement
from rules.judge.strengths import usable
from rules.library.rule import Kind
from rules.subject.design import Design
from rules.subject.faults import pointer
from rules.subject.frame import Support
from rules.subject.holding import Bracing, Hanger, Strength

VOUCHED = EngineRule(
    "bracing-vouched-for",
    "Somebody vouches for what fixings of bracing, straps and hangers are declared to carry",
    "Any figure passes that is large enough; one without a document behind it is somebody's guess.",
)


@dataclass(frozen=True, slots=True)
class _Declared:
    """One strength that is stated: of which element, where in the document, and of what in words."""

    kind: str
    name: str
    index: int
    way: tuple[str | int, ...]
    field: str
    what: str
    strength: Strength | None


def vouched(design: Design) -> Iterator[Judgement]:
    """A question for every strength that decides something and names no document."""
    for each in _every(design):
        if each.strength and usable(each.strength) and not each.strength.document:
            message = f"{each.name}: what {each.what} is declared to carry is stated, and no document for it. Whose figure is it? ({each.field}.document)"
            at = pointer(*each.way, *each.field.split("."))
            part = each.field.replace(".", "-").replace("_", "-")
            yield Judgement(VOUCHED, each.kind, each.name, each.index, Kind.REVIEW, part, message=message, pointer=at)


def _every(design: Design) -> Iterator[_Declared]:
    for index, item in enumerate(design.bracing if isinstance(design.bracing, tuple) else ()):
        for field, what, strength in _of_bracing(item):
            yield _Declared("brace", item.id, index, ("bracing", index), field, what, strength)
    places = {support.id: place for place, support in enumerate(design.supports)}
    for place, support in enumerate(design.supports):
        for field, what, strength in _of_strap(support):
            yield _Declared("support", support.id, place, ("supports", place), field, what, strength)
    for index, hanger in enumerate(design.hangers):
        for field, what, strength in _of_hanger(hanger):
            yield _Declared("support", hanger.support, places[hanger.support], ("hangers", index), field, what, strength)


Stated = tuple[tuple[str, str, Strength | None], ...]


def _of_bracing(item: Bracing) -> Stated:
    rest = item.anchor.rest_capacity if item.anchor else None
    return (
        ("fixing_capacity", "its fixing to one piece", item.fixing_capacity),
        ("anchor_capacity", "its anchorage", item.anchor_capacity),
        ("anchor.rest_capacity", "the strap of its anchorage", rest),
    )


def _of_strap(support: Support) -> Stated:
    strap = support.held_down_by
    if strap is None:
        return ()
    rest = ("held_down_by.rest_capacity", "its strap, and what that is fixed to below,", strap.rest_capacity)
    return ("held_down_by.capacity", "its strap", strap.capacity), rest


def _of_hanger(hanger: Hanger) -> Stated:
    return (
        ("down", "its hanger", hanger.down),
        ("up", "its hanger against uplift", hanger.up),
        ("rest_down", "its hanger apart from its fasteners", hanger.rest_down),
        ("rest_up", "its hanger against uplift, apart from its fasteners,", hanger.rest_up),
    )
