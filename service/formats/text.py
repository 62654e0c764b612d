"""A report as text for a screen or a printer, 100 columns wide: the verdict first, then what has to be done, then the evidence.

The report document is all there is to go by: what it does not say is not said here. Colour is for the caller to ask for, and is
never the only sign.
"""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from service.formats.wording import Values, clause, governing, number, place, quantity, seen, source, utilisation

WIDTH = 100
INDENT = 9
RULE = "─" * WIDTH
PAINT = {"fail": "1;31", "open": "1;33", "review": "1;36", "pass": "1;32", "heading": "1"}
MEANING = {
    "pass": "every check that ran is met; read what was assumed and what was not checked",
    "review": "nothing fails, but a person has to look at something",
    "open": "something could not be decided, so nothing may be built on this yet",
    "fail": "at least one check is not met",
}
SECTIONS = (
    ("fail", "FAILS"),
    ("open", "OPEN: COULD NOT BE DECIDED"),
    ("review", "FOR A PERSON TO LOOK AT"),
    ("informational", "FOR INFORMATION"),
)
COUNTED = (
    ("fail", "fail"), ("open", "open"), ("review", "for review"), ("informational", "for information"), ("pass", "pass"),
    ("notApplicable", "not applicable"), ("waived", "waived"), ("warnings", "at level warning"),
)  # fmt: skip


def render(report: Mapping[str, Any], source: str | None = None, *, colour: bool = False) -> bytes:
    """Dress a report document ("birdsmouth-report-1") as UTF-8 text ending in a line end.

    source: the file it came from, shown in the heading. colour: with terminal colours; the words are the same without.
    """
    shown, origin = harmless(report), harmless(source)
    pages = (_heading(shown, origin, colour), findings(shown, colour=colour), _passes(shown, colour), _evidence(shown, colour))
    return ("\n".join(line.rstrip() for page in pages for line in page) + "\n").encode()


def paint(text: str, kind: str, colour: bool) -> str:
    """The text in the colour of its kind, or as it is."""
    return f"\x1b[{PAINT[kind]}m{text}\x1b[0m" if colour and kind in PAINT else text


def table(heads: Sequence[str], widths: Sequence[int], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """Lines of a table; a cell too long for its column goes on underneath, never into its neighbour."""
    for cells in [heads, ["─" * width for width in widths], *rows] if heads else list(rows):
        wrapped = [textwrap.wrap(cell, width) or [""] for cell, width in zip(cells, widths, strict=True)]
        for at in range(max(map(len, wrapped))):
            parts = ((lines[at] if at < len(lines) else "").ljust(width) for lines, width in zip(wrapped, widths, strict=True))
            yield (" " + "  ".join(parts)).rstrip()


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
    yield from _wrapped(f"{MEANING.get(verdict, '')}.".capitalize(), 1)
    counts = report.get("summary") or {}
    yield from _wrapped(", ".join(f"{counts[key]} {word}" for key, word in COUNTED if counts.get(key)) + ".", 1)
    if origin:
        yield f" From {origin}."
    finding = governing(report)
    if finding is not None and isinstance(finding.get("utilisation"), int | float):
        where, title = place(finding.get("where") or {}), finding.get("title", "")
        yield from _wrapped(f"Most used: {_used(finding)} of what is allowed, {where}: {title}.", 1)


def findings(report: Values, *, colour: bool = False, working: bool = True) -> Iterator[str]:
    """Lines that show everything found but passes, what has to be done first. working: with the arithmetic of what fails."""
    for kind, heading in SECTIONS:
        found = [finding for finding in report.get("findings", []) if finding.get("kind") == kind]
        if found:
            yield ""
            yield f" {paint(f'{heading} ({len(found)})', kind, colour)}"
        for alike in _alike(found):
            yield ""
            yield from _finding(alike, working)


def _alike(found: Iterable[Values]) -> Iterable[list[Values]]:
    """Findings that say the same of one element after another, together; each fail stands alone."""
    groups: dict[tuple[object, ...], list[Values]] = {}
    for finding in found:
        element = next((str(name) for name in (finding.get("where") or {}).values() if isinstance(name, str)), "")
        said = str(finding.get("message", "")).replace(element, "…") if element else finding.get("message")
        alone = finding.get("id") if finding.get("kind") == "fail" or finding.get("waiver") else None
        groups.setdefault((finding.get("rule"), finding.get("part"), finding.get("level"), said, alone), []).append(finding)
    return groups.values()


def _finding(alike: Sequence[Values], working: bool) -> Iterator[str]:
    finding = alike[0]
    tags = [str(finding["level"])] if finding.get("level") not in (None, "none") else []
    tags += ["waived"] if finding.get("waiver") else []
    part = f" ({finding['part']})" if finding.get("part") else ""
    yield from _wrapped(f"{_used(finding):>8} {place(finding.get('where') or {})}{part}: {finding.get('title', '')}", 0, hang=INDENT)
    yield from _wrapped(str(finding.get("message", "")), INDENT)
    if len(alike) > 1:
        yield from _wrapped(f"the same: {', '.join(map(_also, alike[1:]))}", INDENT, hang=10)
    for label, words in _details(finding, tags, working):
        yield from _wrapped(f"{label}: {words}", INDENT, hang=len(label) + 2)


def _also(finding: Values) -> str:
    used = f" ({_used(finding)})" if finding.get("utilisation") is not None else ""
    return place({**(finding.get("where") or {}), "at_mm": None}) + used


def _details(finding: Values, tags: Sequence[str], working: bool) -> Iterator[tuple[str, str]]:
    demand, limit = finding.get("demand"), finding.get("limit")
    if demand and (demand.get("unit") != "1" or (limit or {}).get("value") != 1):
        judged = limit and finding.get("kind") in ("fail", "pass")
        yield "found", quantity(demand) + (f", allowed {quantity(limit)}" if judged else "")
    if finding.get("combination"):
        yield "loads", str(finding["combination"])
    for step in finding.get("working") or [] if working and finding.get("kind") == "fail" else []:
        yield "working", _step(step)
    for citation in finding.get("citations") or []:
        yield "source", source(citation)
    if finding.get("remedies"):
        yield "what helps", "; ".join(map(str, finding["remedies"]))
    if finding.get("waiver"):
        waiver = finding["waiver"]
        until = waiver.get("expires", "no day named")
        yield "waived", f"{waiver.get('reason', '')} ({waiver.get('approved_by', 'nobody named')}, until {until})"
    yield "rule", ", ".join([str(finding.get("rule", "")), *tags])


def _step(step: Values) -> str:
    cited = f"  [{step['clause']}]" if step.get("clause") else ""
    shown = quantity({"value": step.get("value"), "unit": step.get("unit", "")})
    expression = f" = {step['expression']}" if step.get("expression") else ""
    return f"{step.get('symbol', '')}{expression} = {shown}{cited}"


def _passes(report: Values, colour: bool) -> Iterator[str]:
    passed = [finding for finding in report.get("findings", []) if finding.get("kind") == "pass"]
    if not passed:
        return
    yield ""
    yield f" {paint(f'PASSES SHOWN ({len(passed)})', 'pass', colour)}"
    rows = [_pass_row(finding) for finding in sorted(passed, key=lambda finding: -(finding.get("utilisation") or 0.0))]
    yield from table(("used", "where", "check", "clause", "source"), (5, 24, 33, 20, 9), rows)


def _pass_row(finding: Values) -> tuple[str, str, str, str, str]:
    citation = (finding.get("citations") or [{}])[0]
    return (_used(finding), place(finding.get("where") or {}), str(finding.get("title", "")), clause(citation), seen(citation))


def _used(finding: Values) -> str:
    value = finding.get("utilisation")
    return utilisation(value, exceeded=finding.get("kind") == "fail") if isinstance(value, int | float) else "–"


def _evidence(report: Values, colour: bool) -> Iterator[str]:
    lists = (
        ("ASSUMED, FOR SOMEBODY TO CONFIRM", list(_assumptions(report))),
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
                yield from _wrapped(f"· {item}", 2, hang=2)
    yield RULE


def _assumptions(report: Values) -> Iterator[str]:
    alike: dict[tuple[str, str, str], list[str]] = {}
    for taken in report.get("assumptions") or []:
        key = (_taken(taken.get("value")), str(taken.get("because", "")), str(taken.get("confirm") or ""))
        alike.setdefault(key, []).append(str(taken.get("pointer", "")) or "/")
    for (value, because, confirm), pointers in alike.items():
        also = f" and {len(pointers) - 1} more like it" if len(pointers) > 1 else ""
        yield f"{pointers[0]}{also}: {value}. {because}{f' (To confirm: {confirm}.)' if confirm else ''}"


def _taken(value: object) -> str:
    return ", ".join(map(number, value)) if isinstance(value, list) else number(value)


def _pack(pack: Values) -> str:
    because = f": {pack['selected_because']}" if pack.get("selected_because") else ""
    return f"{pack.get('id', '')} {pack.get('edition', '')}, release {pack.get('release', '')}{because}"


def _receipt(receipt: Values) -> list[str]:
    shown = [f"{name} {str(receipt[name])[:19]}" for name in ("design", "report") if receipt.get(name)]
    head = [f"as of {receipt['as_of']}"] if receipt.get("as_of") else []
    return [", ".join([*head, *([f"engine {receipt['engine']}"] if receipt.get("engine") else []), *shown])] if receipt else []


def _wrapped(text: str, indent: int, hang: int = 0) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + hang), break_on_hyphens=False)
