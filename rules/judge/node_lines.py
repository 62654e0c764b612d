"""The lines of joints that run through a row of trusses, and which of them no binder holds."""

from __future__ import annotations

import math
from collections import Counter

from rules.judge.braces import items
from rules.judge.geometry import Geometry
from rules.judge.restraints import NOTHING
from rules.subject.axes import TOLERANCE_MM
from rules.subject.design import Declined, Design
from rules.subject.frame import Member
from rules.subject.holding import Bracing

CHORDS = ("rafter", "top-chord", "ceiling-tie", "bottom-chord", "collar")


def bare_node_lines(design: Design, geometry: Geometry) -> list[tuple[str, str]]:
    """(piece, node) of every joint of a truss's outer pieces that no binder reaches; none for what is no truss, or whose bracing is not stated here."""
    if design.component_type != "trussed-rafter" or design.bracing is None or isinstance(design.bracing, Declined):
        return []
    joints = _joints(design)
    found: dict[str, str] = {}
    reached: set[str] = set()
    for member, line in zip(design.members, geometry.lines, strict=True):
        if member.role not in CHORDS:
            continue
        here = [node for node in member.nodes if node in joints]
        found |= {node: member.id for node in here if node not in found}
        if _has_binder(items(design), max(line.bays), len(here), member):
            reached.update(here)
    return [(member, node) for node, member in found.items() if node not in reached]


def _joints(design: Design) -> set[str]:
    """Nodes where several pieces meet, those over bearings left out: a heel whose bearing has a node of its own beside it is over it too."""
    uses = Counter(node for member in design.members for node in member.nodes)
    places = {node.id: (node.x_mm, node.y_mm) for node in design.nodes}
    bearings = [(places[support.node], support.seat.length_mm or 0.0 if support.seat else 0.0) for support in design.supports]
    over = {name for name, place in places.items() if any(math.dist(place, at) <= long for at, long in bearings)}
    return {node for node, count in uses.items() if count > 1} - over


def _has_binder(bracing: tuple[Bracing, ...], longest: float, enough: int, member: Member) -> bool:
    """Whether binders are listed for the piece, no farther apart than its joints are, or as many as it has joints."""
    binders = [each for each in bracing if each.kind == "binder" and member.id in each.members and each.anchored_to != NOTHING]
    return any(
        (each.spacing_mm is not None and each.spacing_mm <= longest + TOLERANCE_MM) or (each.rows is not None and each.rows >= enough)
        for each in binders
    )
