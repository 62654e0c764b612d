"""A report as Markdown, for the summary of a pipeline or a comment on a change: tables of CommonMark with GitHub's extension."""

from __future__ import annotations

from service.formats.standing import Reports
from service.formats.templating import fill
from service.formats.wording import Values
from service.units import dressed


def render(report: Values, source: str | None = None) -> bytes:
    """One report as UTF-8 Markdown. source: the file its design came from."""
    return render_all(((report, source),))


def render_all(reports: Reports) -> bytes:
    """Several reports, one below the other."""
    return dressed(fill("report.md", reports), (report for report, _ in reports))
