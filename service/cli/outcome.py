"""From reports to an exit status: nothing that went wrong may look like a pass."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import Any

RANK = {"note": 1, "warning": 2, "error": 3}
ALLOWABLE = ("open", "review")
VERDICTS = ("pass", "review", "open", "fail")


def allowed_kinds(text: str) -> frozenset[str]:
    """Read the argument of --allow: a list of "open" and "review" with commas between."""
    kinds = [word.strip() for word in text.split(",") if word.strip()]
    strange = [word for word in kinds if word not in ALLOWABLE]
    if strange or not kinds:
        raise argparse.ArgumentTypeError(f"{text!r}: only {' and '.join(ALLOWABLE)} can be allowed, with a comma between")
    return frozenset(kinds)


class Outcome:
    """The worst of what was met: 0 in order, 1 findings, 2 something could not be checked."""

    def __init__(self, fail_on: str, allowed: frozenset[str]) -> None:
        self.status, self._threshold, self._allowed = 0, RANK[fail_on], allowed

    def refused(self) -> None:
        """A document could not be checked."""
        self.status = 2

    def judged(self, report: Mapping[str, Any]) -> None:
        """Take one report into account."""
        if self._verdict_stands(report.get("verdict")) or any(map(self._counts, report.get("findings") or [])):
            self.status = max(self.status, 1)

    def _verdict_stands(self, verdict: object) -> bool:
        """A verdict may be worse than any finding shows: no code of practice in force is "open" by itself."""
        return verdict != "pass" and verdict not in self._allowed

    def _counts(self, finding: Mapping[str, Any]) -> bool:
        kind = finding.get("kind")
        if finding.get("waiver"):
            return False
        if kind == "fail":
            return RANK.get(str(finding.get("level")), RANK["error"]) >= self._threshold
        return kind in ALLOWABLE and kind not in self._allowed
