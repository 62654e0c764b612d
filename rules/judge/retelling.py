"""A report told again for a design of the same subject that is called otherwise: only what names it is new.

Whoever writes such reports out need write one of them only, with gaps where the names stand (`Told.written`), and fill in those of each.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, reduce
from typing import Any

from rules.judge.checked import Checked
from rules.judge.deciding import Decided
from rules.judge.report import Document, report
from rules.judge.telling import around_reference, finding_ids, told
from rules.subject.design import Design

Steps = tuple[str | int, ...]
"""How to come to a place in a document."""


@dataclass(frozen=True)
class Told:
    """A report, what each of its findings was made from, and what became of it in writing, for whoever writes it to fill in."""

    document: Document
    shown: Sequence[Decided]
    written: list[bytes] = field(default_factory=list)

    @cached_property
    def around_references(self) -> Sequence[Sequence[str]]:
        """What the ids of its findings are taken of, but for the reference."""
        return [around_reference(each.judgement) for each in self.shown]

    @cached_property
    def governing(self) -> int | None:
        """Which of its findings governs."""
        governing = self.document["summary"]["governing"]
        return None if governing is None else [each["id"] for each in self.document["findings"]].index(governing["finding"])


class Retold(Mapping[str, Any]):
    """A report that differs from another in names alone. told: that other one; names: what stands in place of its own, in the order
    of the document. It is put together when somebody looks into it."""

    def __init__(self, told: Told, names: Mapping[Steps, Any]) -> None:
        self.told, self.names = told, names

    def called(self, names: Mapping[Steps, Any]) -> Retold:
        """The same report with other words in place of the names."""
        return Retold(self.told, names)

    @cached_property
    def _document(self) -> Document:
        return reduce(lambda document, name: _put(document, *name), self.names.items(), self.told.document)

    def __getitem__(self, name: str) -> Any:
        return self._document[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self.told.document)

    def __len__(self) -> int:
        return len(self.told.document)


def _put(part: Any, steps: Steps, value: Any) -> Any:
    """The part of a document with another value at a place in it."""
    first, *further = steps
    fresh = part.copy()
    fresh[first] = _put(part[first], tuple(further), value) if further else value
    return fresh


def is_plain(design: Design) -> bool:
    """Whether nothing is accepted or known of it by the names of findings, so that its report differs in names alone from others."""
    return not design.waivers and design.baseline is None


def tell(checked: Checked) -> Told:
    """The report, to be told again."""
    return Told(report(checked), checked.shown)


def tell_again(before: Told, design: Design) -> Retold:
    """The report of a design of the same subject, judged by the same rules on the same day."""
    return Retold(before, dict(_names(before, design)))


def _names(before: Told, design: Design) -> Iterator[tuple[Steps, Any]]:
    """What the design is called, and what its findings are called for it, each with its place."""
    ids = finding_ids(before.around_references, design.reference)
    yield ("reference",), design.reference
    yield ("title",), design.title
    if before.governing is not None:
        yield ("summary", "governing", "finding"), ids[before.governing]
    for place, (id, each) in enumerate(zip(ids, before.shown, strict=True)):
        yield ("findings", place, "id"), id
        if each.judgement.element_kind == "design":
            yield ("findings", place, "message"), told(_called(each, design.reference), before.document["findings"][place]["combination"])
    yield ("receipt", "design"), design.digest


def _called(each: Decided, reference: str) -> Decided:
    """What was judged of the design itself is said of it by its name."""
    return each.of(each.judgement._replace(element_id=reference))
