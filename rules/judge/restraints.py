"""Which restraint every piece relies on, which item of the bracing gives it, and where that item's force ends.

A batten counts only where it is, and only when something at the end of its line takes what it collects.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from rules.judge.geometry import Geometry, Line
from rules.subject.axes import TOLERANCE_MM
from rules.subject.design import FLOOR_TYPES, Declined, Design
from rules.subject.frame import Member
from rules.subject.holding import Bracing

Side = Literal["sideways", "top", "bottom"]
Status = Literal["given", "open", "missing", "declined"]
HOLDING = ("batten", "board", "binder", "strongback", "noggin")
"""Kinds that hold a piece where they cross it; diagonals and chevrons take what these collect."""
WORDS: Mapping[Side, str] = {"sideways": "sideways", "top": "its upper edge", "bottom": "its lower edge"}
NOTHING = "none"
"""What `anchored_to` says where nothing takes the force."""


@dataclass(frozen=True, slots=True)
class Reliance:
    """One side of one piece that the design relies on being held every so many mm. given_by: ids of the items that hold it;
    why: what is missing, in words, one sentence an item that falls short; ask: the question that decides it where it is open."""

    member: int
    side: Side
    every_mm: float
    status: Status
    given_by: tuple[str, ...] = ()
    why: tuple[str, ...] = ()
    ask: str = ""

    @property
    def words(self) -> str:
        """ "its upper edge every 345 mm"."""
        return f"{WORDS[self.side]} every {self.every_mm:g} mm"


def reliances(design: Design, geometry: Geometry) -> tuple[Reliance, ...]:
    """Every restraint the pieces rely on, in the order of the pieces."""
    naming = _by_member(design)
    ends = {item.id: anchorage(design, item) for items in naming.values() for item in items}
    found = (
        _judged(design, index, side, every, geometry.lines[index], [(item, ends[item.id]) for item in naming.get(member.id, ())])
        for index, member in enumerate(design.members)
        for side, every in relied_on(member)
    )
    return tuple(_or_by_the_deck(design, each) for each in found)


def _by_member(design: Design) -> dict[str, list[Bracing]]:
    """The items that could hold each piece and name it."""
    naming: dict[str, list[Bracing]] = {}
    for item in design.bracing if isinstance(design.bracing, tuple) else ():
        if item.kind in HOLDING:
            for name in dict.fromkeys(item.members):
                naming.setdefault(name, []).append(item)
    return naming


def relied_on(member: Member) -> Iterator[tuple[Side, float]]:
    """The sides of a piece that are said to be held, each with the distance between restraints."""
    said = member.restraints
    stated: tuple[tuple[Side, object], ...] = (
        ("sideways", said.out_of_plane_mm),
        ("top", said.top_edge_mm),
        ("bottom", said.bottom_edge_mm),
    )
    yield from ((side, every) for side, every in stated if isinstance(every, float))


def anchorage(design: Design, item: Bracing) -> str | None:
    """What takes the force of an item in the end: words from outside the bracing; None where nobody says."""
    listed = {each.id: each for each in design.bracing} if isinstance(design.bracing, tuple) else {}
    while item.anchored_to in listed:
        item = listed[item.anchored_to]
    return item.anchored_to


BRACING_WORDS = ("batten", "binder", "diagonal", "chevron", "strongback", "noggin")


def names_bracing(end: str) -> bool:
    """Whether words from outside the bracing speak of a brace all the same: one that is spelt otherwise, or was taken out."""
    return any(word in end.lower() for word in BRACING_WORDS)


Named = list[tuple[Bracing, str | None]]
"""Items that name a piece, each with what takes its force in the end."""


def _judged(design: Design, index: int, side: Side, every: float, line: Line, naming: Named) -> Reliance:
    if isinstance(design.bracing, Declined):
        return Reliance(index, side, every, "declined", why=(design.bracing.none_because,))
    if design.bracing is None:
        return Reliance(index, side, every, "open", ask=NOT_STATED)
    if design.bracing == "none":
        return Reliance(index, side, every, "missing", why=("the design says that there is no bracing",))
    tried = [_tried(item, end, side, every) for item, end in naming]
    if not tried:
        return Reliance(index, side, every, "missing", why=("no item of the bracing that could hold it names it",))
    return _covered(index, side, every, line, tried)


DECK = "floor.deck"
DECKED = ("joist", "top-chord")
"""Roles that the deck of a floor lies on."""


def is_decked(design: Design) -> bool:
    """Whether it is a floor whose deck is described."""
    return design.component_type in FLOOR_TYPES and design.floor is not None and design.floor.deck is not None


def _or_by_the_deck(design: Design, relied: Reliance) -> Reliance:
    """Held by the deck of a floor where no item of bracing does it: it lies all along the upper edge, and is a plate that ends in the walls."""
    decked = is_decked(design) and design.members[relied.member].role in DECKED
    if relied.status == "given" or relied.side == "bottom" or not decked:
        return relied
    return Reliance(relied.member, relied.side, relied.every_mm, "given", (DECK,))


NOT_STATED = (
    'Name the battens, binders or braces that hold it and what anchors them ("bracing", with "members"), or write "none" for the spacing.'
)


@dataclass(frozen=True, slots=True)
class _Tried:
    """One item held against one reliance: what it lacks, and what nobody says of it."""

    item: Bracing
    lacks: tuple[str, ...]
    unsaid: tuple[str, ...]


def _tried(item: Bracing, end: str | None, side: Side, every: float) -> _Tried:
    lacks, unsaid = [], []
    if side != "sideways" and item.edge is None:
        unsaid.append(f"At which edge is {item.id}? (bracing.edge)")
    elif side != "sideways" and item.edge != side:
        lacks.append(f"{item.id} is at the other edge")
    if item.spacing_mm is None and item.rows is None:
        unsaid.append(f"How far apart are the braces of {item.id}? (bracing.spacing_mm)")
    elif item.spacing_mm is not None and item.spacing_mm > every + TOLERANCE_MM:
        lacks.append(f"{item.id} holds it every {item.spacing_mm:g} mm only")
    if end is None:
        unsaid.append(f"What takes the force that {item.id} collects? (bracing.anchored_to)")
    elif end == NOTHING:
        lacks.append(f"{item.id} is anchored to nothing")
    elif names_bracing(end):
        unsaid.append(f"“{end}”, which takes what {item.id} collects, is no item of the bracing: which item is it? (bracing.anchored_to)")
    return _Tried(item, tuple(lacks), tuple(unsaid))


def _covered(index: int, side: Side, every: float, line: Line, tried: Iterable[_Tried]) -> Reliance:
    listed = list(tried)
    sound = [each for each in listed if not each.lacks and not each.unsaid]
    if _reaches([each.item for each in sound], every, line):
        return Reliance(index, side, every, "given", tuple(each.item.id for each in sound))
    hopeful = [each for each in listed if not each.lacks]
    why = tuple(lack for each in listed for lack in each.lacks)
    if _reaches([each.item for each in hopeful], every, line):
        ask = " ".join(dict.fromkeys(question for each in hopeful for question in each.unsaid))
        return Reliance(index, side, every, "open", tuple(each.item.id for each in hopeful), why, ask)
    bare = (f"{', '.join(each.item.id for each in hopeful)} leaves part of it bare",) if hopeful else ()
    return Reliance(index, side, every, "missing", tuple(each.item.id for each in hopeful), (*why, *bare))


def _reaches(items: Iterable[Bracing], every: float, line: Line) -> bool:
    """Whether these items leave no stretch of the piece longer than `every` without a brace."""
    reached = 0.0
    for first, last, gap in sorted(_extent(item, line) for item in items):
        if gap <= every + TOLERANCE_MM and first <= reached + every + TOLERANCE_MM:
            reached = max(reached, last)
    return reached > 0.0 and line.length <= reached + every + TOLERANCE_MM


def _extent(item: Bracing, line: Line) -> tuple[float, float, float]:
    """First and last place an item holds, and the distance from one brace to the next; unstated ones are hoped for.

    Rows part the stretch they are given for evenly and stand inside it, none at its ends.
    """
    first, last = item.from_mm or 0.0, line.length if item.to_mm is None else min(item.to_mm, line.length)
    if item.spacing_mm is not None:
        return first, last, item.spacing_mm
    gap = 0.0 if item.rows is None else (last - first) / (item.rows + 1)
    return first + gap, last - gap, gap
