"""The bracing schedule in words: a line of text a row, and cells for the tables of pages."""

from __future__ import annotations

from collections.abc import Iterator

from service.formats.layout import paint, wrapped
from service.formats.wording import Values, number

HEADS = ("Status", "Item", "Where", "Section and fixing", "Holds", "Takes", "Anchored to")


def rows(report: Values) -> list[Values]:
    """The rows of the schedule; none of a report that has none."""
    return list((report.get("bracing") or {}).get("rows") or [])


def stated(report: Values) -> str:
    """How the design speaks of its bracing, where that is not a list."""
    said = str((report.get("bracing") or {}).get("stated") or "")
    return "" if said in ("", "listed") else f"The design's own bracing: {said}."


def takes(row: Values) -> str:
    """The forces of a brace: at each piece, and at what takes its line's."""
    each, line = row.get("each_kn"), row.get("line_kn")
    parts = [
        f"{number(each, 3)} kN at each piece" if each is not None else "",
        f"{number(line, 3)} kN at each anchorage" if line is not None else "",
    ]
    words = ", ".join(part for part in parts if part)
    return f"{words}, either way" if words else ""


def cells(row: Values) -> tuple[str, ...]:
    """One row under HEADS; what is still to be said stands beside the place."""
    made = "; ".join(str(row[key]) for key in ("section", "fixing") if row.get(key))
    item, kind = str(row.get("item", "")), str(row.get("kind") or "")
    what = f"{item} ({kind})" if kind and not _alike(item, kind) else item
    where = "; ".join(str(row[key]) for key in ("where", "note") if row.get(key))
    return (str(row.get("status", "")), what, where, made, str(row.get("holds") or ""), takes(row), str(row.get("anchored_to") or ""))


def _alike(item: str, kind: str) -> bool:
    """Whether the name says by itself what it is: "rafter-diagonals" are diagonals."""
    last = (kind.split() or [kind])[-1]
    return last.rstrip("s") in item.lower()


def lines(report: Values, colour: bool) -> Iterator[str]:
    """The schedule as text; nothing where there is neither bracing nor a roof that wants some."""
    shown = rows(report)
    if not shown:
        return
    yield ""
    yield f" {paint('BRACING, PIECE BY PIECE', 'heading', colour)}"
    if stated(report):
        yield from wrapped(stated(report), 2)
    for row in shown:
        yield ""
        yield from _told(row)


def _told(row: Values) -> Iterator[str]:
    status, what, where, made, holds, force, anchored = cells(row)
    yield from wrapped(f"{status.upper():<11} {what}: {where}", 2, hang=12)
    for label, words in (("of" if row.get("section") else "fixed:", made), ("holds", holds), ("takes", force), ("to", anchored)):
        if words:
            yield from wrapped(f"{label} {words}", 14, hang=len(label) + 1)
