"""What can still be said of a document that its schema refuses: how its sound parts fit together.

Somebody who mends a document wants all its faults at once, so the parts without a fault of their own are held against each
other all the same. What the faulty parts would have settled is left unsaid.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from rules.subject.faults import Fault
from service.schemas.design import FORMAT

_STAND_INS = {"format": FORMAT, "reference": "-", "component_type": "other"}
_LISTS = ("nodes", "members", "supports", "actions", "plate_types", "joints", "splices", "bracing", "hangers", "waivers")
_FRAME = ("nodes", "members", "supports")
_REFERRED_TO = ("nodes", "members", "actions", "plate_types")
_IN_A_LIST = re.compile(r"/([a-z_]+)/([0-9]+)(.*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Remainder:
    """A document without its faulty parts.

    places: for each list that lost items, the index in the whole document of each that is left; missing: ids of the lost ones;
    nameless: whether a lost one's id cannot be relied on, so that a reference to nothing may be one to it.
    """

    document: Mapping[str, Any]
    places: Mapping[str, tuple[int, ...]]
    missing: frozenset[str]
    nameless: bool

    def told_of_the_whole(self, faults: Iterable[Fault]) -> Iterator[Fault]:
        """The faults of the remainder that are faults of the whole document too, with pointers into that."""
        for fault in faults:
            if not self._may_come_from_a_gap(fault):
                yield replace(fault, pointer=self._in_the_whole(fault.pointer))

    def _may_come_from_a_gap(self, fault: Fault) -> bool:
        to_a_gap = fault.code == "dangling-id" and (self.nameless or fault.found in self.missing)
        return to_a_gap or fault.code in ("unused-node", "no-support")

    def _in_the_whole(self, at: str) -> str:
        found = _IN_A_LIST.fullmatch(at)
        if found is None or found[1] not in self.places:
            return at
        return f"/{found[1]}/{self.places[found[1]][int(found[2])]}{found[3]}"


def remainder(document: object, faults: Iterable[Fault]) -> Remainder | None:
    """The document without what the faults point at; None when too little of the frame is left to say anything."""
    if not isinstance(document, Mapping):
        return None
    faults = tuple(faults)
    lost = _lost(faults)
    if "reference" in lost:
        lost["waivers"] = {None}  # one of them may be for the design itself, by its reference
    drawn = isinstance(document.get("shape"), Mapping) and "shape" not in lost
    if not drawn and any(not isinstance(document.get(part), list) or None in lost.get(part, ()) for part in _FRAME):
        return None
    places = {part: _left(document[part], lost[part]) for part in _LISTS if part in lost and None not in lost[part]}
    lists = {part: [document[part][place] for place in left] for part, left in places.items()}
    whole = {name: value for name, value in document.items() if name not in lost}
    missing = frozenset(_ids(document, lost, places))
    return Remainder({**_STAND_INS, **whole, **lists}, places, missing, any(map(_is_of_a_name, faults)))


def _lost(faults: Iterable[Fault]) -> dict[str, set[int | None]]:
    """For each top member with a fault: the indices of its faulty items; None when it is faulty itself, or no list of items."""
    lost: dict[str, set[int | None]] = {}
    for fault in faults:
        found = _IN_A_LIST.fullmatch(fault.pointer)
        name = found[1] if found else fault.pointer[1:].partition("/")[0].replace("~1", "/").replace("~0", "~")
        lost.setdefault(name, set()).add(int(found[2]) if found and name in _LISTS else None)
    return lost


def _is_of_a_name(fault: Fault) -> bool:
    found = _IN_A_LIST.fullmatch(fault.pointer)
    return found is not None and found[1] in _REFERRED_TO and found[3] in ("", "/id")


def _left(items: list[Any], lost: set[int | None]) -> tuple[int, ...]:
    return tuple(place for place in range(len(items)) if place not in lost)


def _ids(document: Mapping[str, Any], lost: Mapping[str, set[int | None]], places: Mapping[str, object]) -> Iterator[str]:
    for part in places:
        for place in lost[part]:
            item = document[part][place]
            if isinstance(item, Mapping) and isinstance(item.get("id"), str):
                yield item["id"]
