"""A report as workflow commands of GitHub Actions: a mark in the change for each finding, and a line that sums up.

Only ten marks of each sort a step are shown there, so the gravest come first and the summary tells how many there are.
"""

from __future__ import annotations

from collections.abc import Iterator

from service.formats.locating import line
from service.formats.standing import UNNAMED, Reports, heading, kind, level, shown, waived
from service.formats.text import harmless
from service.formats.wording import Values

LIMIT = 10
_SORTS = {"error": "error", "warning": "warning", "note": "notice"}


def render(report: Values, source: str | None = None) -> bytes:
    """One report as workflow commands, a line each. source: the file its design came from."""
    return render_all(((report, source),))


def render_all(reports: Reports) -> bytes:
    """Several reports, one after another."""
    return "".join(f"{line}\n" for report, source in reports for line in _lines(harmless(report), harmless(source or UNNAMED))).encode()


def _lines(report: Values, source: str) -> Iterator[str]:
    told = dict.fromkeys(_SORTS.values(), 0)
    for finding in shown(report):
        sort = _sort(finding)
        if sort:
            told[sort] += 1
            if told[sort] <= LIMIT - 1:
                yield _command(sort, source, heading(finding), _message(finding), line(finding))
    verdict, receipt = str(report.get("verdict", "open")), report.get("receipt") or {}
    counts = ", ".join(f"{number} {sort}" for sort, number in told.items() if number) or "nothing found"
    digest = f", report {receipt['report']}" if receipt.get("report") else ""
    summed = f"{verdict}: {counts}; as of {receipt.get('as_of', 'no day')}, engine {receipt.get('engine', 'unknown')}{digest}"
    yield _command("notice" if verdict == "pass" else "error", source, f"{report.get('reference', '')}: {verdict}", summed)


def _sort(finding: Values) -> str | None:
    """Which mark it gets: what is open or for review is a warning, what is waived a notice, what passes none."""
    if kind(finding) not in ("fail", "open", "review"):
        return None
    if waived(finding):
        return "notice"
    return _SORTS[level(finding)] if kind(finding) == "fail" else "warning"


def _message(finding: Values) -> str:
    word = f"{kind(finding)}: " if kind(finding) != "fail" else ""
    accepted = f" Waived: {waived(finding)}" if waived(finding) else ""
    return f"{word}{finding.get('message', '')}{accepted} [{finding.get('rule', '')}]"


def _command(sort: str, source: str, title: str, message: str, at: int = 1) -> str:
    return f"::{sort} file={_property(source)},line={at},title={_property(title)}::{_data(message)}"


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")
