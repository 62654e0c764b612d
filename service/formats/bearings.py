"""The bearings in words: a table for the screen, cells for the tables of pages."""

from __future__ import annotations

from collections.abc import Iterator

from service.formats.layout import paint, table
from service.formats.wording import Values, number
from service.units import told

HEADS = ("Status", "Support", "On", "Down", "Up", "Length", "Needs", "Held by")
WIDTHS = (7, 19, 10, 9, 9, 10, 8, 13)


def rows(report: Values) -> list[Values]:
    """The bearings; none of a report that lists none."""
    return list(report.get("bearings") or [])


def cells(row: Values) -> tuple[str, ...]:
    """One bearing under HEADS."""
    bears = f"{row.get('support', '')}, under {row['member']}" if row.get("member") else str(row.get("support", ""))
    found = f" (found {number(row['found_mm'])} mm)" if row.get("found_mm") is not None else ""
    numbers = [_told(row.get(key), unit) for key, unit in (("down_kn", "kN"), ("up_kn", "kN"), ("bearing_mm", "mm"), ("needed_mm", "mm"))]
    return (
        str(row.get("status", "")),
        bears,
        str(row.get("on") or "not stated").replace("-", " "),
        *numbers[:2],
        f"{numbers[2]}{found}",
        numbers[3],
        str(row.get("held_by") or "–"),
    )


def lines(report: Values, colour: bool) -> Iterator[str]:
    """The bearings as text."""
    shown = rows(report)
    if shown:
        yield ""
        yield f" {paint('BEARINGS', 'heading', colour)}"
        yield from table(HEADS, WIDTHS, told(map(cells, shown), report))


def _told(value: object, unit: str) -> str:
    return "–" if value is None else f"{number(value, 3)} {unit}"
