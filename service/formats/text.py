"""A report as text for a screen or a printer, 100 columns wide: the verdict first, then what has to be done, then the evidence.

The report document is all there is to go by: what it does not say is not said here. Colour is for the caller to ask for, and is
never the only sign.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping
from typing import Any

from service.formats import bearings, bracing
from service.formats.found import AGAINST, REMARKS, findings, used
from service.formats.layout import RULE, paint, table, wrapped
from service.formats.wording import Values, clause, governing, number, place, provenance, seen, taken, worth_saying
from service.units import dressed, told

MEANING = {
    "pass": "every check that ran is met; read what was assumed and what was not checked",
    "review": "nothing fails, but a person has to look at something",
    "open": "something could not be decided, so nothing may be built on this yet",
    "fail": "at least one check is not met",
}
COUNTED = (
    ("fail", "fail"), ("open", "open"), ("review", "for review"), ("informational", "for information"), ("pass", "pass"),
    ("notApplicable", "not applicable"), ("waived", "waived"), ("warnings", "at level warning"),
)  # fmt: skip


def render(report: Mapping[str, Any], source: str | None = None, *, colour: bool = False) -> bytes:
    """Dress a report document ("birdsmouth-report-1") as UTF-8 text ending in a line end.

    source: the file it came from, shown in the heading. colour: with terminal colours; the words are the same without.
    """
    shown, origin = harmless(report), harmless(source)
    pages = (
        _heading(shown, origin, colour),
        findings(shown, colour=colour, sections=AGAINST),
        bracing.lines(shown, colour),
        bearings.lines(shown, colour),
        findings(shown, colour=colour, sections=REMARKS),
        _passes(shown, colour),
        _evidence(shown, colour),
    )
    text = "\n".join(line.rstrip() for page in pages for line in page) + "\n"
    return dressed(text.encode(), (report,))


def counted(report: Values) -> list[tuple[str, int]]:
    """How much was found of each kind and, where there is a baseline, how much of it is new, was known, or is gone."""
    counts, baseline = report.get("summary") or {}, report.get("baseline")
    states = [finding.get("baseline_state") for finding in report.get("findings") or []] if baseline else []
    since = [(states.count("new"), "new since the baseline"), (states.count("unchanged"), "known before")] if baseline else []
    gone = [(len(baseline.get("absent") or []), "gone")] if baseline else []
    return [(word, counts[key]) for key, word in COUNTED if counts.get(key)] + [(word, count) for count, word in (*since, *gone)]


def harmless(values: Any) -> Any:
    """A report's values without control characters: a report from elsewhere must not drive the reader's terminal."""
    if isinstance(values, str):
        return "".join(
            " " if char in "\n\t" else char for char in values if char in "\n\t" or unicodedata.category(char) not in ("Cc", "Cf")
        )
    if isinstance(values, Mapping):
        return {harmless(name): harmless(value) for name, value in values.items() if name != "response"}
    return [harmless(value) for value in values] if isinstance(values, list) else values


def _heading(report: Values, origin: str | None, colour: bool) -> Iterator[str]:
    verdict = str(report.get("verdict", "open"))
    name = str(report.get("reference", ""))
    yield RULE
    yield f" {paint(verdict.upper(), verdict, colour)}  {name}"
    yield RULE
    yield from wrapped(f"{MEANING.get(verdict, '')}.".capitalize(), 1)
    yield from wrapped(", ".join(f"{count} {word}" for word, count in counted(report)) + ".", 1)
    if origin:
        yield f" From {origin}."
    finding = governing(report)
    if finding is not None and isinstance(finding.get("utilisation"), int | float):
        where, title = place(finding.get("where") or {}), finding.get("title", "")
        yield from wrapped(f"Most used: {used(finding)} of what is allowed, {where}: {title}.", 1)


def _passes(report: Values, colour: bool) -> Iterator[str]:
    passed = [finding for finding in report.get("findings", []) if finding.get("kind") == "pass"]
    if not passed:
        return
    yield ""
    yield f" {paint(f'PASSES SHOWN ({len(passed)})', 'pass', colour)}"
    rows = [_pass_row(finding) for finding in sorted(passed, key=lambda finding: -(finding.get("utilisation") or 0.0))]
    yield from table(("used", "where", "check", "clause", "source"), (5, 24, 33, 20, 9), told(rows, report))


def _pass_row(finding: Values) -> tuple[str, str, str, str, str]:
    citation = (finding.get("citations") or [{}])[0]
    return (used(finding), place(finding.get("where") or {}), str(finding.get("title", "")), clause(citation), seen(citation))


def _evidence(report: Values, colour: bool) -> Iterator[str]:
    lists = (
        ("LOADS WORKED OUT, PER COMPONENT; HOW, STANDS IN THE JSON REPORT", list(_load_cases(report))),
        ("ASSUMED, FOR SOMEBODY TO CONFIRM", list(_assumptions(report))),
        ("NUMBERS TO LOOK AT: REPLACED, OR NOT READ AT THEIR SOURCE", list(_numbers(report))),
        ("RULES IN FORCE", [_pack(pack) for pack in report.get("packs") or []]),
        ("NOT CHECKED HERE", [str(item) for item in report.get("not_checked") or []]),
        ("CAUTIONS", [str(item) for item in report.get("cautions") or []]),
        ("RECEIPT", _receipt(report.get("receipt") or {})),
    )
    for heading, items in lists:
        if items:
            yield ""
            yield f" {paint(heading, 'heading', colour)}"
            for item in items:
                yield from wrapped(f"· {item}", 2, hang=2)
    yield RULE


def _assumptions(report: Values) -> Iterator[str]:
    alike: dict[tuple[str, str, str], list[str]] = {}
    for each in report.get("assumptions") or []:
        key = (taken(each.get("value")), str(each.get("because", "")), str(each.get("confirm") or ""))
        alike.setdefault(key, []).append(str(each.get("pointer", "")) or "/")
    for (value, because, confirm), pointers in alike.items():
        also = f" and {len(pointers) - 1} more like it" if len(pointers) > 1 else ""
        yield f"{pointers[0]}{also}: {value}. {because}{f' (To confirm: {confirm}.)' if confirm else ''}"


def _load_cases(report: Values) -> Iterator[str]:
    """Each load case that was worked out: what it is, how large per metre or at a point, and whether it was replaced."""
    for case in report.get("load_cases") or []:
        sizes = dict.fromkeys(
            f"{number(step.get('value'), 3)} {step['unit']}" for step in case.get("working") or [] if step.get("unit") in ("kN/m", "kN")
        )
        left_out = "; left out, the design states its own" if case.get("replaced") else ""
        yield f"{case.get('action', '')}: {case.get('what', '')}; {', '.join(sizes) or 'no load'}{left_out}"


def _numbers(report: Values) -> Iterator[str]:
    for value in (report.get("numbers") or {}).values():
        if worth_saying(value):
            yield f"{value.get('symbol', '')}, {value.get('what', '')}: {provenance(value)}"


def _pack(pack: Values) -> str:
    because = f": {pack['selected_because']}" if pack.get("selected_because") else ""
    return f"{pack.get('id', '')} {pack.get('edition', '')}, release {pack.get('release', '')}{because}"


def _receipt(receipt: Values) -> list[str]:
    shown = [f"{name} {str(receipt[name])[:19]}" for name in ("design", "report") if receipt.get(name)]
    head = [f"as of {receipt['as_of']}"] if receipt.get("as_of") else []
    return [", ".join([*head, *([f"engine {receipt['engine']}"] if receipt.get("engine") else []), *shown])] if receipt else []
