"""Ids and references: each id once, each reference to something that is there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rules.subject.faults import Fault, pointer

_MOST_LISTED = 20
_MOST_COMPARED = 200

Steps = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Register:
    """The ids of one kind of thing, to look references up in. ids: each with its index in the document."""

    kind: str
    ids: Mapping[str, int]

    def faults(self, name: str, *steps: str | int) -> Iterator[Fault]:
        """A fault at these steps when nothing has this id."""
        if name not in self.ids:
            yield Fault(pointer(*steps), "dangling-id", f"There is no {self.kind} “{name}”.", name, self._allowed(), self._hint(name))

    def _allowed(self) -> object:
        listed = list(self.ids)
        return listed if len(listed) <= _MOST_LISTED else f"one of the {len(listed)} ids given, “{listed[0]}” to “{listed[-1]}”"

    def _hint(self, name: str) -> str:
        compared = self.ids if len(self.ids) <= _MOST_COMPARED else ()
        alike = next((known for known in compared if known.casefold() == name.casefold()), None)
        return f"Did you mean “{alike}”?" if alike else f"Give the id of a {self.kind} of this design, or add that {self.kind}."


def register(kind: str, ids: Sequence[str]) -> Register:
    """A register of these ids, each at the place where it first stands."""
    places: dict[str, int] = {}
    for place, name in enumerate(ids):
        places.setdefault(name, place)
    return Register(kind, places)


def repeated(part: Steps, kind: str, ids: Sequence[str], *, key: str | None = "id") -> Iterator[Fault]:
    """A fault for each id that stood there before. part: steps to the list; key: the member of an item that holds the id, if any."""
    places = register(kind, ids).ids
    for place, name in enumerate(ids):
        if places[name] != place:
            steps = (*part, place) if key is None else (*part, place, key)
            detail = f"“{name}” stands there before; it can name one {kind} only."
            yield Fault(pointer(*steps), "duplicate-id", detail, name, None, f"Give each {kind} an id of its own.")
