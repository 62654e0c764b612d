"""What a report says of a choice: whether it passes, what keeps it from passing, and how near it is."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

import msgspec

from service.sizings.choices import Choice
from service.sizings.searching import Tried

RANK = {"pass": 0, "review": 1, "open": 2, "fail": 3}
REFUSED = 4


class Finding(msgspec.Struct):
    """What is read of a finding."""

    rule: str
    kind: str
    level: str
    message: str
    where: dict[str, Any]
    utilisation: float | None
    waiver: dict[str, Any] | None


class Told(msgspec.Struct):
    """What is read of a report."""

    verdict: str
    summary: dict[str, Any]
    findings: list[Finding]


def read_report(report: bytes) -> Told:
    """What a report's bytes say, as far as it matters here."""
    return msgspec.json.decode(report, type=Told)


def grave(finding: Finding, allow: Collection[str]) -> bool:
    """Whether it keeps a design from passing: unwaived, and a fail at level error, or open or for review where that is not allowed.

    A waiver that is bound to no utilisation was given for the timber as drawn: it accepts no fail of other timber.
    """
    if finding.waiver is not None:
        return finding.kind == "fail" and finding.level == "error" and finding.waiver["up_to_utilisation"] is None
    return finding.level == "error" if finding.kind == "fail" else finding.kind in ("open", "review") and finding.kind not in allow


def tried(choice: Choice, told: Told, allow: Collection[str]) -> Tried:
    """A choice that could be checked."""
    stopping = [finding for finding in told.findings if grave(finding, allow)]
    pieces = frozenset(str(finding.where["member"]) for finding in stopping if finding.where.get("member") is not None)
    waived = any(finding.waiver is not None for finding in stopping)
    passes = not waived and (told.verdict == "pass" or told.verdict in allow)
    used = max((finding.utilisation or 0.0 for finding in stopping), default=0.0)
    worst = max(stopping, key=_weight, default=None)
    said = {
        "verdict": told.verdict,
        "most_used": told.summary["governing"] and told.summary["governing"]["utilisation"],
        "stopped_by": _finding(worst) if worst else None,
        "stopping": len(stopping),
        "lesser": sum(finding.kind == "fail" and finding.level != "error" and finding.waiver is None for finding in told.findings),
    }
    return Tried(choice, passes, pieces, (RANK[told.verdict], len(stopping), used), said)


def refused(choice: Choice, detail: str) -> Tried:
    """A choice that is no design that can be checked."""
    stopped = {"rule": None, "kind": "refused", "message": detail, "utilisation": None, "member": None}
    said = {"verdict": None, "most_used": None, "stopped_by": stopped, "stopping": 1, "lesser": 0}
    return Tried(choice, False, frozenset(), (REFUSED, 1, 0.0), said)


def _finding(finding: Finding) -> dict[str, Any]:
    told = {"rule": finding.rule, "kind": finding.kind, "message": finding.message, "utilisation": finding.utilisation}
    return {**told, "member": finding.where.get("member")}


def _weight(finding: Finding) -> tuple[int, float]:
    return RANK.get(finding.kind, 0), finding.utilisation or 0.0
