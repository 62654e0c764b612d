"""Many reports summed up: one verdict, how often each rule speaks up, and the timber of all of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import msgspec

from service.formats.standing import AGAINST

Document = dict[str, Any]
GRAVEST_FIRST = ("fail", "refused", "not reached", "open", "review", "pass")


class Finding(msgspec.Struct):
    """What is read of a finding."""

    rule: str
    title: str
    kind: str
    level: str
    waiver: dict[str, Any] | None


class Told(msgspec.Struct):
    """What is read of a report."""

    reference: str
    title: str | None
    verdict: str
    summary: dict[str, Any]
    findings: list[Finding]
    quantities: dict[str, Any]


@dataclass(slots=True)
class Done:
    """What became of one design. status: as HTTP has it, None where it was not reached; report: its bytes."""

    index: int
    design: Mapping[str, Any]
    status: int | None
    report: bytes | None
    problem: Document | None
    told: Told | None = field(init=False)

    def __post_init__(self) -> None:
        self.told = msgspec.json.decode(self.report, type=Told) if self.report else None

    @property
    def word(self) -> str:
        """Its verdict, "refused" or "not reached"."""
        if self.told:
            return self.told.verdict
        return "not reached" if self.status is None else "refused"

    @property
    def reference(self) -> str | None:
        """What the caller calls it, where that is a text."""
        name = self.design.get("reference")
        return name if isinstance(name, str) else None

    @property
    def count(self) -> int:
        """How many there are of it; 1 where it does not say, or cannot be checked."""
        stated = self.design.get("count")
        return int(stated) if self.told and stated is not None else 1


def summed(done: Sequence[Done]) -> Document:
    """The parts of a job's answer that are about all of it.

    The verdict is the gravest of the designs'; one that could not be checked, or was not reached, leaves the whole open at best.
    """
    words = Counter(each.word for each in done)
    gravest = next(word for word in GRAVEST_FIRST if words[word])
    verdict = "open" if gravest in ("refused", "not reached") else gravest
    counted = {"pass": words["pass"], "fail": words["fail"], "open": words["open"], "review": words["review"]}
    return {
        "verdict": verdict,
        "summary": {
            "designs": len(done), **counted, "refused": words["refused"], "not_reached": words["not reached"],
            "components": sum(each.count for each in done if each.told),
        },
        "rules": _by_rule(done),
        "timber": _timber(done),
    }  # fmt: skip


def _by_rule(done: Sequence[Done]) -> list[Document]:
    """Rules that found something, those that fail most designs first."""
    rows: dict[str, Document] = {}
    for each in done:
        for finding in each.told.findings if each.told else ():
            if finding.waiver is not None or finding.kind not in AGAINST:
                continue
            row = rows.setdefault(
                finding.rule, {"rule": finding.rule, "title": finding.title, "fail": 0, "open": 0, "review": 0, "designs": []}
            )
            row[finding.kind] += 1
            if row["designs"][-1:] != [each.reference]:  # they come design by design
                row["designs"].append(each.reference)
    return sorted(rows.values(), key=lambda row: (-row["fail"], -row["open"], -row["review"], row["rule"]))


def _timber(done: Sequence[Done]) -> list[Document]:
    """Timber of all components that could be checked, by section and grade."""
    rows: dict[tuple[float, float, str], Document] = {}
    for each in done:
        for piece in each.told.quantities["timber"] if each.told else ():
            key = (piece["b_mm"], piece["h_mm"], piece["grade"])
            row = rows.setdefault(key, {"b_mm": key[0], "h_mm": key[1], "grade": key[2], "pieces": 0, "length_m": 0.0})
            row["pieces"] += each.count * piece["pieces"]
            row["length_m"] += each.count * piece["length_m"]
    return [rows[key] for key in sorted(rows)]
