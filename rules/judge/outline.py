"""The frame as it is drawn: where nodes are, how pieces run and how deep they are, what is held. A report carries it so that whoever
draws the report needs nothing else."""

from __future__ import annotations

from typing import Any

from rules.subject.design import Design
from rules.subject.frame import Rectangle

Document = dict[str, Any]


def outline(design: Design) -> Document:
    """What it is, how many there are and how far apart; nodes in mm (x right, y up); pieces by their nodes, with their depth in the plane of
    the frame (None where it is not known)."""
    return {
        "component_type": design.component_type,
        "count": design.count,
        "spacing_mm": design.spacing_mm,
        "nodes": [{"id": node.id, "x_mm": node.x_mm, "y_mm": node.y_mm} for node in design.nodes],
        "members": [
            {"id": member.id, "role": member.role, "nodes": list(member.nodes), "depth_mm": _depth(member.section), "plies": member.plies}
            for member in design.members
        ],
        "supports": [{"id": support.id, "node": support.node, "holds": list(support.holds)} for support in design.supports],
    }


def _depth(section: object) -> float | None:
    return section.h_mm if isinstance(section, Rectangle) else None
