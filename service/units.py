"""Words with their quantities in the units of the United States: what a person reads, never what a program does.

JSON stays SI: only `message` is told so, and the text, Markdown and page made of a report whose receipt asks for it. Every number keeps
one digit more than it had, so that two that differ still do.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

INCH = 25.4
FOOT = 304.8
POUND_FORCE = 0.45359237 * 9.80665
"""mm, mm and N, exact by definition."""

UNITS: Mapping[str, tuple[str, float]] = {
    "mm": ("in", 1 / INCH),
    "m": ("ft", 1000 / FOOT),
    "mm²": ("in²", 1 / INCH**2),
    "mm³": ("in³", 1 / INCH**3),
    "mm⁴": ("in⁴", 1 / INCH**4),
    "N": ("lb", 1 / POUND_FORCE),
    "kN": ("lb", 1000 / POUND_FORCE),
    "N·mm": ("lb·in", 1 / (POUND_FORCE * INCH)),
    "kNm": ("lb·ft", 1e6 / (POUND_FORCE * FOOT)),
    "N/mm²": ("psi", INCH**2 / POUND_FORCE),
    "N/mm": ("lb/in", INCH / POUND_FORCE),
    "kN/m": ("lb/ft", FOOT / POUND_FORCE),
    "kN/m²": ("lb/ft²", FOOT**2 / 1000 / POUND_FORCE),
    "kg": ("lb", 1 / 0.45359237),
    "kg/m³": ("lb/ft³", (FOOT / 1000) ** 3 / 0.45359237),
}
"""Unit of a report → unit of the United States, and what a number is multiplied by."""

_NUMBER = r"(?<![\w.,/–-])(?<!\dx)(?<!\d x )(-?\d+(?:\.\d+)?)"
_UNIT = "|".join(sorted(map(re.escape, UNITS), key=len, reverse=True))
_PAIR = r"(?:( ?× ?|–| to | and | or | by )(\d+(?:\.\d+)?))?"
_QUANTITY = re.compile(rf"{_NUMBER}{_PAIR}( |\n +)({_UNIT})(?![\w/²³⁴·^])")


def in_us(text: str) -> str:
    """The text with every quantity that has a unit of the list above in the other unit; "35 × 97 mm" and "2 to 3 mm" as a whole.

    A size somebody wrote with the letter x, such as nails of "3.35 x 65 mm", is their words and stays: it is bought by that name.
    """
    return _QUANTITY.sub(_told, text)


def spoken(report: Mapping[str, Any]) -> bool:
    """Whether a report (or comparison) asks for these units."""
    options = (report.get("receipt") or {}).get("options") or {}
    return isinstance(options, Mapping) and options.get("units") == "us"


def dressed(content: bytes, reports: Iterable[Mapping[str, Any]]) -> bytes:
    """What was made of these reports for people, in the units they all ask for."""
    return in_us(content.decode()).encode() if all(map(spoken, reports)) else content


def told(rows: Iterable[Sequence[str]], report: Mapping[str, Any]) -> Iterable[Sequence[str]]:
    """Cells of a table in the units its report asks for, before they are set in columns as wide as the words."""
    return [[in_us(cell) for cell in row] for row in rows] if spoken(report) else rows


def worded(report: Mapping[str, Any], units: str) -> Mapping[str, Any]:
    """The report with the messages of its findings in these units; everything else as it is."""
    if units != "us" or "findings" not in report:
        return report
    return {**report, "findings": [{**finding, "message": in_us(finding["message"])} for finding in report["findings"]]}


def _told(found: re.Match[str]) -> str:
    first, times, second, gap, unit = found.groups()
    name, factor = UNITS[unit]
    pair = f"{times}{_number(second, factor)}" if second else ""
    return f"{_number(first, factor)}{pair}{gap}{name}"


def _number(text: str, factor: float) -> str:
    value = float(f"{float(text) * factor:.12g}")
    digits = max(3, len(text.lstrip("-0.").replace(".", "")) + 1)
    if value == 0.0:
        return "0"
    return f"{value:.{max(0, digits - 1 - math.floor(math.log10(abs(value))))}f}"
