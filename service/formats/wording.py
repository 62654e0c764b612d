"""How a report's values read in words: places, numbers, sources. Shared by every format made for people."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

Values = Mapping[str, Any]

SEEN = {"read": "read", "memory": "from memory", "practice": "common practice", "stated": "stated"}
_NO_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
UNITS = {"1": "", "-": "", "mm2": "mm²"}


def number(value: object, digits: int = 4) -> str:
    """A number to so many significant digits, without an exponent where a person would not write one; other values as they are."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return str(value)
    if value == 0:
        return "0"
    if not 1e-4 <= abs(value) < 1e9:
        return f"{value:.{digits}g}"
    text = f"{value:.{max(0, digits - 1 - math.floor(math.log10(abs(value))))}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def taken(value: object) -> str:
    """A value that was assumed: a number, a word, a list, or a table: "S1: x, y; S2: y"."""
    if isinstance(value, Mapping):
        return "; ".join(f"{name}: {taken(each)}" for name, each in value.items())
    if isinstance(value, list):
        return ", ".join(map(taken, value))
    return ("yes" if value else "no") if isinstance(value, bool) else number(value)


def for_xml(value: object) -> str:
    """The value in characters XML can hold."""
    return _NO_XML.sub("\ufffd", str(value))


def quantity(amount: Values) -> str:
    """A value with its unit: {"value": 14, "unit": "mm"} reads "14 mm"."""
    unit = UNITS.get(str(amount.get("unit", "")), str(amount.get("unit", "")))
    return f"{number(amount.get('value'))} {unit}".rstrip()


def utilisation(value: float, *, exceeded: bool) -> str:
    """How much of what is allowed is used, to two decimals, or to more where two would hide on which side of 1 it lies."""
    for decimals in (2, 3, 4, 6, 9):
        text = f"{value:.{decimals}f}"
        if (float(text) > 1) == exceeded:
            return text
    return f"{value:.12g}"


def place(where: Values) -> str:
    """Where a finding stands: "member TC1 at 1830 mm", "support S2", "whole design"."""
    kinds = [f"{kind} {where[kind]}" for kind in ("member", "joint", "node", "support", "brace") if where.get(kind) is not None]
    at = where.get("at_mm")
    return (", ".join(kinds) or "whole design") + (f" at {number(round(at))} mm" if isinstance(at, int | float) else "")


def clause(citation: Values) -> str:
    """The short form of a source: "EN 1995-1-1, 6.3.2 (6.24)"."""
    parts = " ".join(str(citation[key]) for key in ("clause", "equation") if citation.get(key))
    return ", ".join(part for part in (str(citation.get("document") or "no source"), parts) if part)


def source(citation: Values) -> str:
    """A source in full, and whether it was read: "EN 1995-1-1, 6.3.2 (6.24), edition 2004+A2:2014: from memory"."""
    edition = f", edition {citation['edition']}" if citation.get("edition") else ""
    return f"{clause(citation)}{edition}: {seen(citation)}"


def seen(citation: Values) -> str:
    """Whether the value or wording was read in the document named."""
    return SEEN.get(str(citation.get("seen")), str(citation.get("seen") or "not stated"))


def provenance(number_told: Values) -> str:
    """Whose number it is: "1.3 of uk-national (national; …, Table NA.3: from memory), in place of 1.25 of the base pack"."""
    because = number_told.get("because")
    stated = f"reason given: {because}" if because else f"{number_told.get('source', '')}: {seen(number_told)}"
    replaced = "".join(f", in place of {_stands(each)}{each.get('pack', '')}" for each in number_told.get("in_place_of") or [])
    return f"{_stands(number_told)}{number_told.get('pack', '')} ({number_told.get('layer', '')}; {stated}){replaced}"


def _stands(number_told: Values) -> str:
    value = number_told.get("value")
    return (
        f"a table by {', '.join(number_told['by'])} of " if number_told.get("by") else f"{number(value)} of " if value is not None else ""
    )


def worth_saying(number_told: Values) -> bool:
    """Whether a number is not simply what the code itself says and somebody read there."""
    return bool(number_told.get("in_place_of")) or number_told.get("seen") != "read" or number_told.get("layer") == "caller"


def governing(report: Values) -> Values | None:
    """The finding the summary points at; where the report does not show it, the most used of those it shows."""
    wanted = ((report.get("summary") or {}).get("governing") or {}).get("finding")
    found = report.get("findings") or []
    used = [finding for finding in found if isinstance(finding.get("utilisation"), int | float)]
    named = next((finding for finding in used if finding.get("id") == wanted), None)
    return named or max(used, key=lambda finding: finding["utilisation"], default=None)
