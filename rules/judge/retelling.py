"""A report told again for a design of the same subject that is called otherwise: only what names it is new, all else is the same objects.

Whoever writes reports out finds these objects in `Retold.parts`, and need not write any of them twice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rules.judge.deciding import Decided
from rules.judge.report import Checked, Document, report
from rules.judge.telling import finding_id, told
from rules.subject.design import Design

NEW = frozenset(("reference", "title", "summary", "findings", "receipt"))
"""The members of a report that say what the design is called."""


@dataclass(frozen=True)
class Parts:
    """The objects that several reports share. held: by identity; written: what became of each, for whoever writes them to fill in, and find."""

    held: Mapping[int, Any]
    written: dict[Any, Any] = field(default_factory=dict)


class Retold(dict[str, Any]):
    """A report whose parts stand in others too."""

    def __init__(self, document: Mapping[str, Any], parts: Parts) -> None:
        super().__init__(document)
        self.parts = parts


class Renamed(dict[str, Any]):
    """A finding that differs from an earlier one in its first member, the id."""

    def __init__(self, before: Mapping[str, Any], name: str) -> None:
        super().__init__(before)
        self["id"], self.before = name, before


@dataclass(frozen=True)
class Told:
    """A report, what each of its findings was made from, and its parts that do not say what the design is called."""

    document: Retold
    shown: Sequence[Decided]


def is_plain(design: Design) -> bool:
    """Whether nothing is accepted or known of it by the names of findings, so that its report differs in names alone from others."""
    return not design.waivers and design.baseline is None


def tell(checked: Checked) -> Told:
    """The report, to be told again."""
    document = report(checked)
    held = {id(part): part for part in _lasting(document)}
    return Told(Retold(document, Parts(held)), checked.shown)


def _lasting(document: Document) -> Iterator[Any]:
    for members in (({name: part for name, part in document.items() if name not in NEW}), *document["findings"]):
        yield from (part for part in members.values() if isinstance(part, dict | list))


def tell_again(before: Told, design: Design) -> Retold:
    """The report of a design of the same subject, judged by the same rules on the same day."""
    document = before.document
    findings = list(_renamed(document["findings"], before.shown, design.reference))
    names = {old["id"]: new["id"] for old, new in zip(document["findings"], findings, strict=True)}
    summary, governing = document["summary"], document["summary"]["governing"]
    new = {
        "reference": design.reference,
        "title": design.title,
        "summary": summary | {"governing": governing and governing | {"finding": names[governing["finding"]]}},
        "findings": findings,
        "receipt": document["receipt"] | {"design": design.digest},
    }
    return Retold({**document, **new}, document.parts)


def _renamed(findings: Iterable[Document], shown: Iterable[Decided], reference: str) -> Iterator[Document]:
    """Those about the design itself have its name in their sentence too."""
    for finding, each in zip(findings, shown, strict=True):
        if each.judgement.element_kind != "design":
            yield Renamed(finding, finding_id(each.judgement, reference))
            continue
        own = each.of(each.judgement._replace(element_id=reference))
        yield {**finding, "id": finding_id(own.judgement, reference), "message": told(own, finding["combination"])}
