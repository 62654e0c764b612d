"""Lines for findings, where the text of the design is at hand: a report knows places only as JSON pointers, and stays so."""

from __future__ import annotations

from typing import Any

from service.formats.wording import Values
from service.positions import nearest, positions


def located(report: Values, text: str) -> Values:
    """The report with line and column beside each finding's pointer; as it is where the text holds no such place."""
    spans = positions(text)
    findings = []
    for finding in report.get("findings") or []:
        span = nearest(spans, str((finding.get("where") or {}).get("pointer") or ""))
        place = {"line": span.line, "column": span.column, "end_line": span.end_line, "end_column": span.end_column} if span else {}
        findings.append({**finding, "where": {**(finding.get("where") or {}), **place}})
    return {**report, "findings": findings}


def line(finding: Values) -> int:
    """The line a finding stands in; the first where nobody knows."""
    return int((finding.get("where") or {}).get("line") or 1)


def region(finding: Values) -> dict[str, Any]:
    """The place of a finding in its file, in the words of SARIF."""
    where = finding.get("where") or {}
    if not where.get("line"):
        return {"startLine": 1}
    return {"startLine": where["line"], "startColumn": where["column"], "endLine": where["end_line"], "endColumn": where["end_column"]}
