"""What one component is made of: timber by section and grade, and its mass."""

from __future__ import annotations

from typing import Any

from rules.judge.framed import Frame
from rules.judge.mechanics import mass_per_mm
from rules.subject.frame import Rectangle


def bill(frame: Frame) -> dict[str, Any]:
    """Pieces between their end nodes, not the lengths to cut: end cuts are the saw's business."""
    settled, lines = frame.settled, frame.geometry.lines
    rows: dict[tuple[float, float, str], dict[str, Any]] = {}
    mass = 0.0
    for member, material, line in zip(settled.design.members, settled.materials, lines, strict=True):
        mass += mass_per_mm(member, material) * line.length
        if isinstance(member.section, Rectangle):
            b, h = member.section.b_mm, member.section.h_mm
            row = rows.setdefault((b, h, member.grade), {"b_mm": b, "h_mm": h, "grade": member.grade, "pieces": 0, "length_m": 0.0})
            row["pieces"] += member.plies
            row["length_m"] += member.plies * line.length / 1000.0
    return {"timber": list(rows.values()), "mass_kg": mass, "measured": "between end nodes, without end cuts or waste"}
