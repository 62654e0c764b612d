"""One rule's word on one element: kind, ratio, place. No text yet."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from types import MappingProxyType
from typing import Any, NamedTuple

from rules.judge.places import Spot
from rules.library.declared import DeclaredRule
from rules.library.rows import Row
from rules.library.rule import Kind, Rule


@dataclass(frozen=True)
class EngineRule:
    """A guard of the engine itself, always in force."""

    slug: str
    title: str
    why: str
    severity: str = "error"
    pack: str = "engine"
    part: str = ""
    mandatory: bool = False

    @cached_property
    def id(self) -> str:
        return f"engine/{self.slug}"


AnyRule = Rule | DeclaredRule | EngineRule


NOTHING: Mapping[str, Any] = MappingProxyType({})


class Judgement(NamedTuple):
    """A tuple, because a check makes thousands. kind: the outcome; demand, limit: in N, mm, rad or plain numbers, unrounded; utilisation: demand / limit, None where it
    has no meaning. place: (combination, place) in the axis named by `axis`; because: why not
    applicable; asks: what must be known or done where open. values: more numbers for the message. facts: what a declared rule was
    told of the element. spot: the place by name, at a joint."""

    rule: AnyRule
    element_kind: str
    element_id: str
    element_index: int
    kind: Kind
    part: str = ""
    demand: float | None = None
    limit: float | None = None
    utilisation: float | None = None
    axis: tuple[str, str] | None = None
    place: tuple[int, int] | None = None
    at_mm: float | None = None
    because: str = ""
    asks: tuple[str, ...] = ()
    message: str = ""
    pointer: str | None = None
    values: Mapping[str, object] = NOTHING
    facts: Row = NOTHING
    spot: Spot | None = None


judgement_of: Callable[[Iterable[Any]], Judgement] = partial(tuple.__new__, Judgement)
"""From all its fields, in their order: a check makes thousands, and naming the fields of each takes three times as long."""


def of_each(one: Judgement, ids: Iterable[str], pointers: Sequence[str]) -> list[Judgement]:
    """The same word on each of these elements, with its place in the document where that is told."""
    head, middle, rest = one[:2], one[4:POINTER], one[POINTER + 1 :]
    if not pointers:
        tail = one[4:]
        return [judgement_of((*head, name, index) + tail) for index, name in enumerate(ids)]  # noqa: RUF005 - quicker than spreading
    return [
        judgement_of((*head, name, index, *middle, pointer, *rest)) for index, (name, pointer) in enumerate(zip(ids, pointers, strict=True))
    ]


POINTER = Judgement._fields.index("pointer")
