"""Buckling and restraint lengths: as stated, or derived on the safe side and said so."""

from __future__ import annotations

import math
from collections.abc import Mapping

from rules.judge.geometry import Geometry, Line
from rules.library.value import Value
from rules.subject.design import Design
from rules.subject.faults import pointer
from rules.subject.frame import Member, Rectangle, Spacing
from rules.subject.settled import Assumption, Lengths

BAY_RULE = "bay_length"
"""The pack value that says how long a bay of a triangulated frame counts in buckling; its citation stands with the length."""
IN_PLANE_ASK = (
    "The frame is not made of triangles only, so the code's truss rule gives no buckling length in its plane: "
    "state it (restraint_spacing.in_plane_mm) from a buckling analysis."
)


def find_lengths(
    design: Design, geometry: Geometry, values: Mapping[str, Value], *, triangulated: bool
) -> tuple[tuple[Lengths, ...], list[Assumption]]:
    """Lengths of every piece, and what was taken for the caller. triangulated: every panel of the frame is a triangle."""
    rule = values[BAY_RULE].cites.plain() if BAY_RULE in values else {}
    cited = {name: word for name, word in rule.items() if word is not None} or None
    assumptions: list[Assumption] = []
    found = []
    for index, member in enumerate(design.members):
        line = geometry.lines[index]
        where = pointer("members", index, "restraint_spacing", "in_plane_mm")
        in_plane, ask = _in_plane(member, line, triangulated, where, cited, assumptions)
        out = _sideways(member.restraints.out_of_plane_mm, line, index, "out_of_plane_mm", "sideways", assumptions)
        if isinstance(member.section, Rectangle) and member.section.h_mm > member.section.b_mm:
            top = _sideways(member.restraints.top_edge_mm, line, index, "top_edge_mm", "at its upper edge", assumptions)
            bottom = _sideways(member.restraints.bottom_edge_mm, line, index, "bottom_edge_mm", "at its lower edge", assumptions)
        else:
            top = _stated(member.restraints.top_edge_mm, line.length) or line.length
            bottom = _stated(member.restraints.bottom_edge_mm, line.length) or line.length
        found.append(Lengths(in_plane, out, top, bottom, ask))
    return tuple(found), assumptions


LEAST_SHARE = 0.5
"""Of a bay between two nodes: Euler's strut with both ends fixed, the least that anything between them can buckle over."""
TOO_SHORT_ASK = (
    "No bay buckles over less than half its length in the plane: state how far apart its nodes hold it, or null for the code's rule. "
    "(restraint_spacing.in_plane_mm)"
)


def _as_stated(stated: float, member: Member, line: Line, where: str, assumptions: list[Assumption]) -> tuple[tuple[float, ...], str]:
    """The stated length for every bay; unknown, and so for the frame's own buckling to tell, where nothing could buckle over so little."""
    found = tuple(stated if stated >= LEAST_SHARE * bay else math.nan for bay in line.bays)
    if any(map(math.isnan, found)):
        return found, TOO_SHORT_ASK
    if member.restraints.in_plane_mm != "none":
        because = "The design states that bays buckle over this length in the plane; a buckling analysis must show it."
        assumptions.append(Assumption(where, stated, because, confirm="engineer"))
    return found, ""


def _stated(spacing: Spacing, whole: float) -> float | None:
    if spacing == "none":
        return whole
    return None if spacing is None else float(spacing)


def _sideways(spacing: Spacing, line: Line, index: int, field: str, words: str, assumptions: list[Assumption]) -> float:
    where = pointer("members", index, "restraint_spacing", field)
    stated = _stated(spacing, line.length)
    if stated is None:
        assumptions.append(
            Assumption(where, round(line.length, 3), f"Nothing is said to hold the piece {words}: its whole length is taken.")
        )
        return line.length
    if spacing != "none":
        because = f"The design relies on the piece being held {words} every {stated:g} mm, by something anchored: this must be there."
        assumptions.append(Assumption(where, stated, because, confirm="site"))
    return stated


def _in_plane(
    member: Member, line: Line, triangulated: bool, where: str, cited: Mapping[str, str] | None, assumptions: list[Assumption]
) -> tuple[tuple[float, ...], str]:
    stated = _stated(member.restraints.in_plane_mm, line.length)
    if stated is not None:
        return _as_stated(stated, member, line, where, assumptions)
    if len(line.bays) == 1 and member.start == member.end == "pinned":
        assumptions.append(
            Assumption(where, round(line.length, 3), "Pinned at both ends and free between them: it buckles over its own length.")
        )
        return line.bays, ""
    derived = tuple(2.0 * bay if not held else bay if triangulated else math.nan for bay, held in zip(line.bays, line.held, strict=True))
    if not any(math.isnan(each) for each in derived):
        because = "The frame is made of triangles: each bay buckles over its own length; a free end over twice its length."
        assumptions.append(Assumption(where, [round(each, 3) for each in derived], because, citation=cited))
        return derived, ""
    return derived, IN_PLANE_ASK
