"""A report as a Code Quality file of GitLab: a JSON list, an entry for each finding that is not met or not decided.

Two entries with one fingerprint hide each other there, so the file's name goes into it beside the finding's id.
"""

from __future__ import annotations

import hashlib
from typing import Any

import msgspec

from service.formats.locating import line
from service.formats.standing import UNNAMED, Reports, heading, kind, level, shown, waived
from service.formats.text import harmless
from service.formats.wording import Values, source

_SEVERITY = {"error": "critical", "warning": "minor", "note": "info"}


def render(report: Values, source: str | None = None) -> bytes:
    """One report as a Code Quality file. source: the file its design came from."""
    return render_all(((report, source),))


def render_all(reports: Reports) -> bytes:
    """Several reports as one list."""
    entries = [entry for report, file in reports for entry in _entries(harmless(report), harmless(file or UNNAMED))]
    return msgspec.json.encode(entries) + b"\n"


def _entries(report: Values, file: str) -> list[dict[str, Any]]:
    against = [finding for finding in shown(report) if kind(finding) in ("fail", "open", "review")]
    return [_entry(finding, file, report.get("receipt") or {}) for finding in against]


def _entry(finding: Values, file: str, receipt: Values) -> dict[str, Any]:
    identity = hashlib.sha256(f"{file}\n{finding.get('id')}".encode()).hexdigest()
    return {
        "description": f"{heading(finding)}. {finding.get('message', '')}",
        "check_name": str(finding.get("rule")),
        "fingerprint": identity,
        "severity": _severity(finding),
        "location": {"path": file, "lines": {"begin": line(finding)}},
        "content": {"body": _body(finding, receipt)},
    }


def _severity(finding: Values) -> str:
    if waived(finding):
        return "info"
    return _SEVERITY[level(finding)] if kind(finding) == "fail" else "major"


def _body(finding: Values, receipt: Values) -> str:
    told = [f"{kind(finding)}, level {level(finding)}", *(source(citation) for citation in finding.get("citations") or [])]
    told += [f"Waived: {waived(finding)}"] if waived(finding) else []
    told += [f"{name}: {value}" for name, value in receipt.items() if isinstance(value, str)]
    return "; ".join(told)
