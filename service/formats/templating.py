"""The two template environments: HTML escaped by the library, Markdown escaped value by value. Names that are not there are errors."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from service.formats import bearings, bracing
from service.formats.drawing import numbers
from service.formats.found import alike, headed, loads, measured, others, used
from service.formats.standing import Reports, heading, kind, level, shown, waived
from service.formats.svg import figure
from service.formats.text import MEANING, counted, harmless
from service.formats.wording import Values, clause, number, place, provenance, quantity, source, taken

_MARKED = re.compile(
    r"[\\`*_{}\[\]|~#]|:(?=//)|(?<=mailto):|(?<=xmpp):|(?<=www)\.|^[-+=]|(?<=^[0-9])[.)]|(?<=[0-9])[.)](?=\s)", re.IGNORECASE
)
"""Signs that mean something to Markdown wherever they stand, and those that do where they stand here."""
_ENTITIES = {"&": "&amp;", "<": "&lt;", ">": "&gt;"}
AGAINST = (("fail", "Not met"), ("open", "Open: could not be decided"), ("review", "For a person to look at"))
REMARKS = (("informational", "For information"), ("pass", "Met"), ("notApplicable", "Does not apply"))
"""What was found by kind: what has to be dealt with, and what stands after the bracing and the bearings, which the site needs first."""
BRIEF = ("pass", "notApplicable")
"""Kinds of which a line each is enough."""
_OF_REPORT = ("reference", "title", "assumptions", "packs", "not_checked", "cautions")
_OF_FINDING = (
    "id",
    "rule",
    "message",
    "demand",
    "limit",
    "combination",
    "working",
    "remedies",
    "citations",
    "utilisation",
    "where",
    "kind",
    "waiver",
    "parameters",
    "baseline_state",
)
_OF_STEP, _OF_TAKEN = ("symbol", "expression", "value", "unit", "clause"), ("pointer", "value", "because", "confirm")
_OF_NUMBER = ("symbol", "what", "value", "unit")
_OF_PACK = ("id", "edition", "release", "selected_because")


def fill(name: str, reports: Reports, **more: object) -> bytes:
    """The template of that name filled with these reports, as UTF-8."""
    pages = [_page(harmless(report), harmless(file)) for report, file in reports]
    return fill_in(name, pages=pages, **more)


def fill_in(name: str, **values: object) -> bytes:
    """The template of that name filled with these values, as UTF-8."""
    text = _environment(name.endswith(".md")).get_template(name).render(**values)
    return (text.rstrip() + "\n").encode()


def fill_one(name: str, **values: object) -> bytes:
    """The HTML template of that name filled with these values, as UTF-8."""
    return (_environment(False).get_template(name).render(**values).rstrip() + "\n").encode()


def markdown_text(value: object) -> str:
    """A value as Markdown that reads as that value: no mark-up, no HTML, no link, nobody called by name."""
    text = " ".join(str(value).split())
    text = "".join(_ENTITIES.get(char, char) for char in text)
    return _MARKED.sub(r"\\\g<0>", text).replace("@", "@\u2060")


def _page(report: Values, file: str | None) -> dict[str, Any]:
    """What a template shows of one report."""
    found = [_finding(finding) for finding in shown(report)]
    verdict, drawn = str(report.get("verdict", "open")), (figure(report) or b"").decode()
    return {
        "report": {
            **_whole(report, _OF_REPORT),
            "assumptions": [_whole(taken, _OF_TAKEN) for taken in report.get("assumptions") or []],
            "numbers": [_whole(told, _OF_NUMBER) for told in (report.get("numbers") or {}).values()],
            "packs": [_whole(pack, _OF_PACK) for pack in report.get("packs") or []],
        },
        "file": file,
        "verdict": verdict,
        "meaning": MEANING.get(verdict, MEANING["open"]),
        "counts": counted(report),
        "bearings": {"heads": bearings.HEADS, "rows": [bearings.cells(row) for row in bearings.rows(report)]},
        "bracing": {"stated": bracing.stated(report), "heads": bracing.HEADS, "rows": [bracing.cells(row) for row in bracing.rows(report)]},
        "parts": [
            [_section(word, title, found) for word, title in part if any(kind(each) == word for each in found)]
            for part in (AGAINST, REMARKS)
        ],
        "drawing": drawn,
        "numbers": numbers(found) if drawn else {},
        "receipt": [(name, value) for name, value in (report.get("receipt") or {}).items() if isinstance(value, str)],
    }


def _section(word: str, title: str, found: Sequence[Values]) -> tuple[str, str, int, list[list[Values]]]:
    """What was found of one kind: its word, its title, how much, and what is said in the same words of several elements together."""
    chosen = [finding for finding in found if kind(finding) == word]
    return word, title, len(chosen), [[each] for each in chosen] if word in BRIEF else alike(chosen)


def _finding(finding: Values) -> dict[str, Any]:
    return {**_whole(finding, _OF_FINDING), "working": [_whole(step, _OF_STEP) for step in finding.get("working") or []]}


def _whole(values: Values, names: tuple[str, ...]) -> dict[str, Any]:
    """The values, with null for the names a template asks for that a report of an older or newer service leaves out."""
    return {**dict.fromkeys(names), **values}


@cache
def _environment(markdown: bool) -> Environment:
    made = Environment(
        loader=PackageLoader("service.formats"), undefined=StrictUndefined, autoescape=not markdown, trim_blocks=True, lstrip_blocks=True,
        finalize=markdown_text if markdown else None, auto_reload=False,
    )  # fmt: skip
    filters: dict[str, Callable[..., str]] = {
        "others": others, "measured": measured, "used": used, "headed": headed, "loads": loads, "heading": heading, "level": level, "waived": waived, "clause": clause, "number": number, "place": place,
        "quantity": quantity, "source": source, "provenance": provenance, "taken": taken,
    }  # fmt: skip
    made.filters.update(filters)
    return made
