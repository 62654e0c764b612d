"""A report as PDF, for the file that goes with the drawing: set from a template, its words handed over as data, so that none of them is ever taken
for an instruction. The same report gives the same bytes on any machine: fonts come with the library, no date is written in."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib.resources import files
from typing import Any

import typst

from service.formats import bearings, bracing
from service.formats.drawing import numbers
from service.formats.found import alike, headed, loads, measured, others, used
from service.formats.standing import Reports, heading, kind, level, shown, waived
from service.formats.svg import figure
from service.formats.templating import AGAINST, BRIEF, REMARKS
from service.formats.text import MEANING, counted, harmless
from service.formats.wording import Values, quantity, source, taken
from service.units import dressed

_DAY_ONE = 0
LONG_SYMBOL = 14
"""Letters of a symbol that fit into its column."""
LONG_VALUE = 60
"""Letters of a value that was taken for the caller, beyond which its column is too narrow."""


def render(report: Values, source: str | None = None) -> bytes:
    """One report as PDF, A4. source: the file its design came from."""
    return render_all(((report, source),))


def render_all(reports: Reports) -> bytes:
    """Several reports in one file; each begins a new sheet."""
    return set_in_type("report.typ", _given(reports))


def set_in_type(template: str, pages: str) -> bytes:
    """The template of that name filled with these pages, which are JSON, as PDF."""
    made = typst.compile(_template(template), format="pdf", ignore_system_fonts=True, timestamp=_DAY_ONE, sys_inputs={"pages": pages})
    assert isinstance(made, bytes)
    return made


def _given(reports: Reports) -> str:
    """What the template is given: a page a report, as JSON, in the units the reports ask for."""
    pages = [_page(harmless(report), harmless(file) or "") for report, file in reports]
    return dressed(json.dumps(pages, ensure_ascii=False).encode(), (report for report, _ in reports)).decode()


@cache
def _template(name: str) -> bytes:
    return (files("service.formats") / "templates" / name).read_bytes()


def _page(report: Values, file: str) -> dict[str, Any]:
    verdict = str(report.get("verdict", "open"))
    found, drawn = shown(report), figure(report)
    on_drawing = numbers(found) if drawn else {}
    return {
        "verdict": verdict,
        "reference": str(report.get("reference") or "design"),
        "title": str(report.get("title") or ""),
        "file": file,
        "meaning": MEANING.get(verdict, MEANING["open"]).capitalize() + ".",
        "counts": ", ".join(f"{count} {word}" for word, count in counted(report)),
        "drawing": standing_alone((drawn or b"").decode()),
        "against": _sections(AGAINST, found, on_drawing),
        "remarks": _sections(REMARKS, found, on_drawing),
        "bracing": {"stated": bracing.stated(report), "heads": list(bracing.HEADS), "rows": [list(bracing.cells(row)) for row in bracing.rows(report)]},
        "bearings": {"heads": list(bearings.HEADS), "rows": [list(bearings.cells(row)) for row in bearings.rows(report)]},
        "assumptions": [_assumption(each) for each in report.get("assumptions") or []],
        "packs": [" ".join(str(pack.get(name) or "") for name in ("id", "edition", "release")) + f": {pack.get('selected_because') or ''}" for pack in report.get("packs") or []],
        "not_checked": [str(item) for item in report.get("not_checked") or []],
        "cautions": [str(item) for item in report.get("cautions") or []],
        "receipt": [[str(name), str(value)] for name, value in (report.get("receipt") or {}).items() if isinstance(value, str)],
    }  # fmt: skip


def standing_alone(drawn: str) -> str:
    """A figure as a file of its own, which says in what language it is written; nothing where there is none."""
    return drawn.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)


def _sections(part: Sequence[tuple[str, str]], found: list[Values], on_drawing: Mapping[str, str]) -> list[dict[str, Any]]:
    return [_section(word, title, found, on_drawing) for word, title in part if any(kind(each) == word for each in found)]


def _section(word: str, title: str, found: list[Values], on_drawing: Mapping[str, str]) -> dict[str, Any]:
    chosen = [finding for finding in found if kind(finding) == word]
    return {
        "kind": word,
        "title": f"{title} ({len(chosen)})",
        "brief": word in BRIEF,
        "findings": [_finding(each, on_drawing) for each in ([[one] for one in chosen] if word in BRIEF else alike(chosen))],
    }


def _finding(same: Sequence[Values], on_drawing: Mapping[str, str]) -> dict[str, Any]:
    """What is said in the same words of one element after another is told once, with the others' names."""
    finding = same[0]
    return {
        "number": on_drawing.get(str(finding.get("id")), ""),
        "used": used(finding),
        "heading": heading(finding),
        "headed": headed(finding),
        "message": str(finding.get("message") or ""),
        "same": others(same),
        "details": [list(each) for each in _details(finding)],
        "working": [_step(step) for step in finding.get("working") or []],
        "sources": "; ".join(source(cited) for cited in finding.get("citations") or []),
        "rule": str(finding.get("rule") or "") + (f", {level(finding)}" if level(finding) != "none" else ""),
    }


def _details(finding: Values) -> Iterator[tuple[str, str]]:
    demand, limit = finding.get("demand"), finding.get("limit")
    if demand and limit and demand.get("unit") != "1":
        yield "Found", measured(finding)
    if loads(finding):
        yield "Loads", loads(finding)
    for remedy in finding.get("remedies") or []:
        yield "What helps", str(remedy)
    if waived(finding):
        yield "Waived", waived(finding)


def _step(step: Values) -> list[str]:
    value = quantity({"value": step.get("value"), "unit": step.get("unit") or ""})
    return [_broken(str(step.get("symbol") or "")), str(step.get("expression") or ""), value, str(step.get("clause") or "")]


def _broken(symbol: str) -> str:
    """A symbol that is the name of a fact may go on in the next line after a point or a low line, or it would lie on its neighbour."""
    return re.sub(r"(?<=[._])", "\u200b", symbol) if len(symbol) > LONG_SYMBOL else symbol


def _assumption(each: Values) -> list[str]:
    """A value that would fill its narrow column for half a sheet, such as a list of all load cases, stands below the reason."""
    confirm, value = f" To confirm: {each['confirm']}." if each.get("confirm") else "", taken(each.get("value"))
    below = f"\n{value}" if len(value) > LONG_VALUE else ""
    return [str(each.get("pointer") or "/"), "" if below else value, f"{each.get('because') or ''}{confirm}{below}"]
