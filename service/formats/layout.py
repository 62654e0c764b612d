"""The page of a text report: 100 columns, tables whose cells never run into each other, colour that is never the only sign."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence

WIDTH = 100
RULE = "─" * WIDTH
PAINT = {"fail": "1;31", "open": "1;33", "review": "1;36", "pass": "1;32", "heading": "1"}


def paint(text: str, kind: str, colour: bool) -> str:
    """The text in the colour of its kind, or as it is."""
    return f"\x1b[{PAINT[kind]}m{text}\x1b[0m" if colour and kind in PAINT else text


def table(heads: Sequence[str], widths: Sequence[int], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """Lines of a table with its heads."""
    for cells in [heads, ["─" * width for width in widths], *rows]:
        yield from row(widths, cells)


def row(widths: Sequence[int], cells: Sequence[str]) -> Iterator[str]:
    """Lines of one row; a cell too long for its column goes on underneath, never into its neighbour."""
    columns = [textwrap.wrap(cell, width) or [""] for cell, width in zip(cells, widths, strict=True)]
    for at in range(max(map(len, columns))):
        parts = ((lines[at] if at < len(lines) else "").ljust(width) for lines, width in zip(columns, widths, strict=True))
        yield (" " + "  ".join(parts)).rstrip()


def wrapped(text: str, indent: int, hang: int = 0) -> list[str]:
    """A text as lines of the page; hang: how much further in the lines after the first begin."""
    return textwrap.wrap(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + hang), break_on_hyphens=False)
