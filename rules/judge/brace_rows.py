"""Facts of every item of bracing for declared rules, and what the bracing as a whole offers."""

from __future__ import annotations

from rules.judge.restraints import NOTHING, anchorage
from rules.subject.design import Design
from rules.subject.holding import Bracing

Row = dict[str, float | str | bool | None]


def brace_row(design: Design, item: Bracing) -> Row:
    """The facts of one item."""
    driven = item.fasteners if item.fasteners and item.fasteners.kind == "nail" else None
    nails = driven or item.nails
    return {
        "brace.id": item.id,
        "brace.kind": item.kind,
        "brace.edge": item.edge,
        "brace.is_named": bool(item.members),
        "brace.is_anchored": anchorage(design, item) not in (None, NOTHING),
        "brace.thickness_mm": min(item.section) if item.section else None,
        "brace.width_mm": max(item.section) if item.section else None,
        "brace.spacing_mm": item.spacing_mm,
        "brace.rows": _number(item.rows),
        "brace.angle_deg": item.angle_deg,
        "brace.nail_count": _number(nails.count if nails else None),
        "brace.nail_diameter_mm": nails.diameter_mm if nails else None,
        "brace.nail_length_mm": nails.length_mm if nails else None,
    }


def _number(count: int | None) -> float | None:
    return None if count is None else float(count)
