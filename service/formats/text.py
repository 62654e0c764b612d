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
    ("notApplicable", "not applicable"), ("waived", "waived"), ("warnings", "warnings"),
)  # fmt: skip


def render(report: Mapping[str, Any], source: str | None = None, *, colour: bool = False) -> bytes:
    """Dress a report document ("birdsmouth-report-1") as UTF-8 text ending in a line end.

    source: the file it came from, shown in the heading. colour: with terminal colours; the words are the same without.
    """
    pages = (_heading(report, source, colour), findings(report, colour=colour), _passes(report, colour), _evidence(report, colour))
    return ("\n".join(_clean(line).rstrip() for page in pages for line in page) + "\n").encode()


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


def _clean(line: str) -> str:
    """Without control characters: a report from elsewhere must not drive the reader's terminal. Our own colours pass."""
    pieces = line.split("\x1b[")
    kept = [pieces[0], *(f"\x1b[{piece}" if piece.split("m")[0] in {"0", *PAINT.values()} else piece for piece in pieces[1:])]
    return "".join(char for char in "".join(kept) if char == "\x1b" or unicodedata.category(char) not in ("Cc", "Cf"))


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


def findings(report: Values, *, colour: bool = False) -> Iterator[str]:
    """Lines that show everything found but passes, what has to be done first."""
    for kind, heading in SECTIONS:
        found = [finding for finding in report.get("findings", []) if finding.get("kind") == kind]
        if found:
            yield ""
            yield f" {paint(f'{heading} ({len(found)})', kind, colour)}"
        for finding in found:
            yield ""
            yield from _finding(finding)


def _finding(finding: Values) -> Iterator[str]:
    level = finding.get("level")
    tags = [str(level)] if level not in (None, "none") else []
    waiver = finding.get("waiver")
    if waiver:
        tags.append("waived")
    part = f" ({finding['part']})" if finding.get("part") else ""
    yield f" {_used(finding):>7} {place(finding.get('where') or {})}{part}: {finding.get('title', '')}"
    yield from _wrapped(str(finding.get("message", "")), INDENT)
    for label, words in _details(finding, tags):
        yield from _wrapped(f"{label}: {words}", INDENT, hang=len(label) + 2)


def _details(finding: Values, tags: Sequence[str]) -> Iterator[tuple[str, str]]:
    demand, limit = finding.get("demand"), finding.get("limit")
    if demand and limit and (demand.get("unit") != "1" or limit.get("value") != 1):
        yield "found", f"{quantity(demand)}, allowed {quantity(limit)}"
    if finding.get("combination"):
        yield "loads", str(finding["combination"])
    if finding.get("kind") == "fail":
        for step in finding.get("working") or []:
            yield "so", _step(step)
    for citation in finding.get("citations") or []:
        yield "source", source(citation)
    for remedy in finding.get("remedies") or []:
        yield "what helps", str(remedy.get("text") or remedy.get("message") or remedy) if isinstance(remedy, Mapping) else str(remedy)
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
        key = (number(taken.get("value")), str(taken.get("because", "")), str(taken.get("confirm") or ""))
        alike.setdefault(key, []).append(str(taken.get("pointer", "")) or "/")
    for (value, because, confirm), pointers in alike.items():
        also = f" and {len(pointers) - 1} more like it" if len(pointers) > 1 else ""
        yield f"{pointers[0]}{also}: {value}, because {because}{f' ({confirm} confirms)' if confirm else ''}"


def _pack(pack: Values) -> str:
    because = f": {pack['selected_because']}" if pack.get("selected_because") else ""
    return f"{pack.get('id', '')} {pack.get('edition', '')}, release {pack.get('release', '')}{because}"


def _receipt(receipt: Values) -> list[str]:
    shown = [f"{name} {str(receipt[name])[:19]}" for name in ("design", "report") if receipt.get(name)]
    head = [f"as of {receipt['as_of']}"] if receipt.get("as_of") else []
    return [", ".join([*head, *([f"engine {receipt['engine']}"] if receipt.get("engine") else []), *shown])] if receipt else []


def _wrapped(text: str, indent: int, hang: int = 0) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + hang), break_on_hyphens=False)
