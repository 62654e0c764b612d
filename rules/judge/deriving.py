"""Loads from what is carried and where it stands: what the packs in force work out, and what the design states in its place.

A load case of the design replaces the derived one of the same id. One of its own of snow, wind or maintenance, under an id that is
not derived, replaces all derived ones of that nature: cases of a nature belong together. A declined action replaces them too. What is lost
with them is named, for a person to look at; drifts against what the roof is said to adjoin stay open until somebody answers for each.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace

from rules.judge.replacing import FAMILIES, lost_with_them
from rules.library import Derivation, Derived, Doubt, Known
from rules.library.choosing import Selection
from rules.subject.actions import Action
from rules.subject.design import Design
from rules.subject.settled import Assumption

NOTHING = Doubt(
    "loading", "open", "No pack in force works out load cases, so what the design carries is not on the frame.",
    "Give the load cases under actions, or name packs that derive them. (codes.packs)", "/loading",
)  # fmt: skip


def derive(design: Design, selection: Selection) -> tuple[Design, Derived]:
    """The design with the derived load cases behind its own, and how they came about. Without `loading` nothing is derived."""
    if design.loading is None:
        return design, Derived()
    makers = [chosen.pack.derive for chosen in selection.packs if chosen.pack.derive]
    if not makers:
        return design, Derived(doubts=(NOTHING,))
    known = Known(selection.values, selection.book, selection.plans)
    found = sum((make(design, known) for make in makers), Derived())
    families = _given_whole(design, found, {each.id for each in selection.expected})
    told = tuple(_beside(design, families, each) for each in found.derivations)
    kept = [each.action for each in told if not each.replaced]
    kept_doubts = (doubt for doubt in found.doubts if doubt.part.partition("-")[0] not in families)
    doubts = (*kept_doubts, *lost_with_them(design, told))
    assumptions = (*found.assumptions, *_notes(told))
    return _with_actions(design, kept), replace(found, derivations=told, doubts=doubts, assumptions=assumptions)


def _given_whole(design: Design, found: Derived, expected: Collection[str]) -> set[str]:
    """Families whose cases the design gives itself, or declines whole: none of them is derived, and nothing about them is asked."""
    derived = {each.action.id for each in found.derivations}
    own = {action.nature for action in design.actions if action.id not in derived and not action.none_because}
    whole = {*FAMILIES.values(), *expected} - derived
    declined = {action.declines.partition("-")[0] for action in design.actions if action.declines in whole and action.declines}
    return {FAMILIES[nature] for nature in own if nature in FAMILIES} | declined & set(FAMILIES.values())


def _beside(design: Design, families: set[str], each: Derivation) -> Derivation:
    """A derived case, marked where the design's own stands in its place."""
    own = {action.id for action in design.actions} | {action.declines for action in design.actions if action.declines}
    return replace(each, replaced=each.action.id in own or each.action.id.partition("-")[0] in families)


def _with_actions(design: Design, derived: Iterable[Action]) -> Design:
    """The design with these cases; company that is not there is not kept away from."""
    whole = (*design.actions, *derived)
    there = {action.id for action in whole}
    kept = tuple(replace(a, never_with=tuple(n for n in a.never_with if n in there)) for a in whole[len(design.actions) :])
    return replace(design, actions=(*design.actions, *kept))


def _notes(derivations: Iterable[Derivation]) -> Iterator[Assumption]:
    taken = [each.action.id for each in derivations if not each.replaced]
    replaced = [each.action.id for each in derivations if each.replaced]
    if taken:
        yield Assumption("/actions", taken, "Worked out from loading, site and roof; their working stands under load_cases.", "engineer")
    if replaced:
        yield Assumption("/actions", replaced, "Worked out too, and left out: the design states load cases of its own in their place.")
