"""What a report says of a design, in one order for every format: the gravest first, and no verdict worse than what is shown."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence

from service.formats.wording import Values, place

Reports = Sequence[tuple[Values, str | None]]
"""Reports, each with the name of the file its design came from, where that is known."""

KINDS = ("fail", "open", "review", "informational", "notApplicable", "pass")
AGAINST = KINDS[:3]
"""Kinds that stand against a design or wait for somebody: what a drawing numbers, a job counts and a baseline knows."""
LEVELS = ("error", "warning", "note")
UNNAMED = "design.json"
"""The file a design is said to come from when nobody told: formats for pipelines cannot do without one."""

_MEANING = {
    "fail": "At least one check is not met, and this report does not show which.",
    "open": "Something could not be decided, so nothing may be built on this yet: for one, no code of practice may be in force here.",
    "review": "A person has to look at something this report does not show.",
}


def shown(report: Values) -> list[Values]:
    """Every finding, gravest first and what is waived last, with one made up for a verdict that is worse than any of them."""
    found = list(report.get("findings") or [])
    return sorted([*_unexplained(report, found), *found], key=_weight)


def grave(finding: Values) -> bool:
    """Whether it stands against the design by itself: an unwaived fail at level error, an unwaived open or review."""
    if finding.get("waiver"):
        return False
    return finding.get("kind") in ("open", "review") or (finding.get("kind") == "fail" and level(finding) == "error")


def level(finding: Values) -> str:
    """Level in the words of SARIF; "none" unless it fails, "error" for a fail whose level is not known."""
    if finding.get("kind") != "fail":
        return "none"
    return str(finding["level"]) if finding.get("level") in LEVELS else "error"


def kind(finding: Values) -> str:
    """Kind in the words of SARIF; "open" for one that is not known."""
    return str(finding["kind"]) if finding.get("kind") in KINDS else "open"


def heading(finding: Values) -> str:
    """Title and place, in one line."""
    where = place(finding.get("where") or {})
    part = f" ({finding['part']})" if finding.get("part") else ""
    return f"{finding.get('title') or finding.get('rule', '')}: {where}{part}"


def waived(finding: Values) -> str:
    """By whom, why and until when it is accepted; empty when it is not."""
    waiver = finding.get("waiver")
    if not waiver:
        return ""
    return f"{waiver.get('reason', '')} ({waiver.get('approved_by', 'nobody named')}, until {waiver.get('expires', 'no day named')})"


def _unexplained(report: Values, found: Iterable[Values]) -> list[Values]:
    verdict = report.get("verdict")
    if verdict == "pass" or any(grave(finding) and finding.get("kind") == verdict for finding in found):
        return []
    outcome = str(verdict) if verdict in _MEANING else "open"
    identity = hashlib.sha256(f"engine/verdict\n{report.get('reference')}".encode()).hexdigest()[:16]
    return [
        {"id": identity, "rule": "engine/verdict", "kind": outcome, "level": "error" if outcome == "fail" else "none",
         "title": "The verdict on the whole design", "message": _MEANING[outcome], "where": {"pointer": ""}}
    ]  # fmt: skip


def _weight(finding: Values) -> tuple[bool, int, int, float]:
    used = finding.get("utilisation")
    over = float(used) if isinstance(used, int | float) else 0.0
    rank = LEVELS.index(level(finding)) if level(finding) in LEVELS else 0
    return bool(finding.get("waiver")), KINDS.index(kind(finding)), rank, -over
