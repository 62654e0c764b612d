"""A job's answer ("birdsmouth-job-report-1") for people and pipelines: one summary, or every report in one file of a format."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from typing import Any

from service.formats.dressing import FORMATS
from service.formats.html import STYLE
from service.formats.layout import RULE, paint, table, wrapped
from service.formats.standing import Reports
from service.formats.templating import fill_in
from service.formats.text import harmless
from service.formats.wording import Values
from service.units import dressed

DESIGN_WIDTHS, RULE_WIDTHS, TIMBER_WIDTHS = (28, 6, 11, 6, 6, 6, 21), (44, 6, 6, 6, 26), (20, 12, 10, 14)


def text(job: Values, *, colour: bool = False) -> bytes:
    """UTF-8 text, 100 columns wide: the verdict, each design in a line, rules that found something, timber."""
    shown = harmless(job)
    pages = (_heading(shown, colour), _designs(shown), _refused(shown), _rules(shown), _timber(shown), _cautions(shown))
    return dressed(("\n".join(line.rstrip() for page in pages for line in page) + "\n").encode(), (job,))


def markdown(job: Values) -> bytes:
    """UTF-8 Markdown: the summary."""
    return dressed(fill_in("job.md", job=harmless(job), outcome=outcome, designs=_names), (job,))


def html(job: Values) -> bytes:
    """One HTML page in UTF-8 that needs nothing else: the summary."""
    return dressed(fill_in("job.html", job=harmless(job), outcome=outcome, designs=_names, style=STYLE), (job,))


def of_reports(job: Values, form: str, sources: Sequence[str | None] = ()) -> bytes:
    """Every report in one file of a format of its own, such as SARIF or JUnit; what could not be checked is open there.

    sources: the files the designs came from, in their order. The job has to hold all its reports.
    """
    files = [*sources, *[None] * (len(job["designs"]) - len(sources))]
    reports: Reports = [(row["report"] or _unchecked(row), file) for row, file in zip(job["designs"], files, strict=True)]
    return FORMATS[form].render_all(reports)


def outcome(row: Values) -> str:
    """What became of a design: its verdict, "refused" or "not reached"."""
    if row["verdict"]:
        return str(row["verdict"])
    return "not reached" if row["status"] is None else "refused"


def _unchecked(row: Values) -> dict[str, Any]:
    """A report that says that there is none, so that no list of findings looks like a pass."""
    name = row["reference"] or f"design {row['index']}"
    errors = (row["problem"] or {}).get("errors") or [{"pointer": "", "detail": "The job ended before this design was reached."}]
    findings = [
        {
            "id": hashlib.sha256(f"engine/not-checked\n{name}\n{error['pointer']}\n{index}".encode()).hexdigest()[:16],
            "rule": "engine/not-checked", "kind": "open", "level": "none", "title": "The design could not be checked",
            "message": error["detail"], "where": {"pointer": error["pointer"]}, "part": str(index or ""),
        }
        for index, error in enumerate(errors)
    ]  # fmt: skip
    return {"format": "birdsmouth-report-1", "reference": name, "verdict": "open", "summary": {}, "findings": findings}


def _heading(job: Values, colour: bool) -> Iterator[str]:
    summary = job["summary"]
    yield RULE
    yield f" {paint(job['verdict'].upper(), job['verdict'], colour)}  JOB {job['reference']}"
    yield RULE
    words = ("fail", "open", "review", "pass", "refused", "not_reached")
    counted = ", ".join(f"{summary[word]} {word.replace('_', ' ')}" for word in words if summary[word])
    yield from wrapped(f"{summary['designs']} designs: {counted}. {summary['components']} components.", 1)


def _designs(job: Values) -> Iterator[str]:
    yield ""
    yield " DESIGNS"
    yield from table(("design", "count", "outcome", "fail", "open", "look", "most used"), DESIGN_WIDTHS, map(_design, job["designs"]))


def _design(row: Values) -> Sequence[str]:
    summary = row["summary"] or {}
    counts = [str(summary.get(kind, "")) for kind in ("fail", "open", "review")]
    most = (summary.get("governing") or {}).get("utilisation")
    return (
        row["reference"] or f"design {row['index']}",
        str(row["count"]),
        outcome(row),
        *counts,
        f"{most:.3g}" if most is not None else "",
    )


def _refused(job: Values) -> Iterator[str]:
    for row in job["designs"]:
        if row["problem"]:
            yield ""
            yield from wrapped(f"{row['reference'] or row['index']} CANNOT BE CHECKED", 1)
            for error in row["problem"]["errors"]:
                yield from wrapped(f"· {error['pointer'] or '/'}: {error['detail']} {error['hint']}", 2, hang=2)


def _rules(job: Values) -> Iterator[str]:
    if job["rules"]:
        yield ""
        yield " WHAT WAS FOUND, RULE BY RULE"
        rows = [(row["rule"], *(str(row[kind]) for kind in ("fail", "open", "review")), _names(row)) for row in job["rules"]]
        yield from table(("rule", "fail", "open", "look", "designs"), RULE_WIDTHS, rows)


def _names(row: Values) -> str:
    names = [str(name) for name in row["designs"]]
    return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")


def _timber(job: Values) -> Iterator[str]:
    if job["timber"]:
        yield ""
        yield " TIMBER, between end nodes"
        rows = [
            (f"{row['b_mm']:g} x {row['h_mm']:g} mm", row["grade"], str(row["pieces"]), f"{row['length_m']:.1f} m") for row in job["timber"]
        ]
        yield from table(("section", "grade", "pieces", "length"), TIMBER_WIDTHS, rows)


def _cautions(job: Values) -> Iterator[str]:
    yield ""
    yield " CAUTIONS"
    said = dict.fromkeys([*job["cautions"], *(each for row in job["designs"] for each in (row["report"] or {}).get("cautions", ()))])
    for item in said:
        yield from wrapped(f"· {item}", 2, hang=2)
    yield RULE
