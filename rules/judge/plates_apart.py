"""Plates have wood under them: no two pairs lie on one place, where only one can be pressed in, and none lies on a hole or notch."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely

from rules.judge.framed import Frame
from rules.judge.geometry import Line
from rules.judge.joint_guards import with_plates
from rules.judge.judgement import EngineRule, Judgement
from rules.judge.outlines import Point
from rules.judge.plated import rectangle
from rules.library.rule import Kind
from rules.subject.faults import pointer
from rules.subject.frame import Cut, Member, Rectangle
from rules.subject.joints import Joint, Plates, Splice

APART = EngineRule(
    "plates-apart",
    "Every pair of plates has wood of its own under it",
    "Teeth hold only in wood, and only one plate can be pressed into a place.",
)
SLIGHT_MM2 = 1.0
"""Overlap that rounding may make."""
ASK_APART = "Which of them is pressed in there? Move them apart, or give one pair. (joints, splices, offset_mm)"
ASK_CUT = "An engineer must say what the plate still holds there, or the cut has to go elsewhere. (members.holes, members.notches)"


@dataclass(frozen=True, slots=True)
class _Laid:
    """A pair of plates as drawn. part, index: its place in the document; area: in the frame's own x and y."""

    part: str
    index: int
    id: str
    area: shapely.Polygon
    members: tuple[int, ...]


def plates_apart(frame: Frame) -> Iterator[Judgement]:
    """What is open because plates lie on each other, or on a cut."""
    laid = [_laid(frame, part, index, joint, plates) for part, index, joint, plates in with_plates(frame.settled.design)]
    beside = _touching([one.area for one in laid])
    for place, one in enumerate(laid):
        others = [laid[other].id for other in beside[place] if one.area.intersection(laid[other].area).area > SLIGHT_MM2]
        if others:
            yield _open(one, "", f"Joint {one.id}: its plates lie on those of {' and '.join(others)}.", ASK_APART)
        cut = list(_cut_under(frame, one))
        if cut:
            yield _open(one, "cuts", f"Joint {one.id}: its plates lie on a hole or notch of {' and '.join(cut)}.", ASK_CUT)


def _touching(areas: Sequence[shapely.Polygon]) -> list[list[int]]:
    """Of every area the later ones that it meets."""
    found: list[list[int]] = [[] for _ in areas]
    if len(areas) < 2:
        return found
    for one, other in shapely.STRtree(areas).query(list(areas), predicate="intersects").T.tolist():
        if one < other:
            found[one].append(other)
    return [sorted(each) for each in found]


def _open(laid: _Laid, part: str, message: str, ask: str) -> Judgement:
    at = pointer(laid.part, laid.index)
    return Judgement(APART, "joint", laid.id, laid.index, Kind.OPEN, part, asks=(ask,), message=message, pointer=at)


def _laid(frame: Frame, part: str, index: int, joint: Joint | Splice, plates: Plates) -> _Laid:
    members, turn = frame.settled.design.members, math.radians(plates.angle_deg)
    if isinstance(joint, Joint):
        x, y = frame.geometry.xy[frame.geometry.at[joint.node]]
        held = tuple(i for i, member in enumerate(members) if joint.node in member.nodes)
        return _Laid(part, index, joint.id, rectangle(plates, (x + plates.offset_mm[0], y + plates.offset_mm[1]), turn), held)
    place = next(i for i, member in enumerate(members) if member.id == joint.member)
    line = frame.geometry.lines[place]
    middle = _on(line, joint.at_mm + plates.offset_mm[0], plates.offset_mm[1])
    return _Laid(part, index, joint.id, rectangle(plates, middle, turn + math.atan2(line.sin, line.cos)), (place,))


def _on(line: Line, along: float, across: float) -> Point:
    return (line.start[0] + along * line.cos - across * line.sin, line.start[1] + along * line.sin + across * line.cos)


def _cut_under(frame: Frame, laid: _Laid) -> Iterator[str]:
    """Pieces with a cut that the plates lie on."""
    for index in laid.members:
        member, line = frame.settled.design.members[index], frame.geometry.lines[index]
        if any(laid.area.intersection(shape).area > SLIGHT_MM2 for shape in _cuts(member, line)):
            yield member.id


def _cuts(member: Member, line: Line) -> Iterator[shapely.Polygon]:
    depth = member.section.h_mm if isinstance(member.section, Rectangle) else 0.0
    for hole in member.holes:
        yield _box(line, hole, hole.depth_mm, (-hole.depth_mm / 2.0, hole.depth_mm / 2.0))
    for notch in member.notches:
        side = (depth / 2.0 - notch.depth_mm, depth / 2.0) if notch.face == "upper" else (-depth / 2.0, notch.depth_mm - depth / 2.0)
        yield _box(line, notch, notch.length_mm or depth, side if notch.face in ("upper", "lower") else (-depth / 2.0, depth / 2.0))


def _box(line: Line, cut: Cut, length: float, across: Sequence[float]) -> shapely.Polygon:
    ends = (cut.at_mm - length / 2.0, cut.at_mm + length / 2.0)
    corners = ((ends[0], across[0]), (ends[1], across[0]), (ends[1], across[1]), (ends[0], across[1]))
    return shapely.Polygon([_on(line, a, b) for a, b in corners])
