"""How much clear timber lies beside a bearing: up to the next bearing, joint or concentrated load."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator

import numpy as np

from rules.judge.framed import Frame
from rules.judge.geometry import meeting
from rules.judge.properties import named
from rules.library.given import Given
from rules.subject.actions import NodeLoad, PointLoad
from rules.subject.frame import Member, Rectangle, Seat, Support

CLEAR = ("clear_beside", "l_1", "mm", "clear timber beside the bearing, up to the next bearing, joint or concentrated load")


def piece_clearance(frame: Frame) -> dict[str, Given]:
    """Of every support: for the piece that bears there, on separate supports."""
    settled, met = frame.settled, meeting(frame.settled.design)
    clear, depth = [], []
    for support, index in zip(settled.design.supports, settled.seat_members, strict=True):
        member = None if index is None else settled.design.members[index]
        clear.append(math.nan if index is None else _clear(frame, support, index, met))
        depth.append(member.section.h_mm if member is not None and isinstance(member.section, Rectangle) else math.nan)
    return _givens(clear, depth, continuous=False)


def plate_clearance(frame: Frame) -> dict[str, Given]:
    """Of every support: for the wall plate underneath, which lies on its wall all along and carries components alike."""
    design = frame.settled.design
    members = [None if i is None else design.members[i] for i in frame.settled.seat_members]
    clear = [_between(design.spacing_mm, member) for member in members]
    depth = [_depth(support.seat) for support in design.supports]
    return _givens(clear, depth, continuous=True)


def _givens(clear: list[float], depth: list[float], *, continuous: bool) -> dict[str, Given]:
    return named(
        Given(*CLEAR, np.array(clear)),
        Given("bearing_depth", "h", "mm", "depth of the timber that is pressed", np.array(depth)),
        Given("is_continuous", "continuous", "", "on a support all along", np.array(continuous)),
    )


def _between(spacing: float | None, member: Member | None) -> float:
    """mm between components alike; not a number where it is not known."""
    if spacing is None or member is None or not isinstance(member.section, Rectangle):
        return math.nan
    return spacing - member.plies * member.section.b_mm


def _depth(seat: Seat | None) -> float:
    """mm of a wall plate; not a number for anything else."""
    return seat.section.h_mm if seat is not None and seat.section is not None and seat.on == "wall-plate" else math.nan


def _clear(frame: Frame, support: Support, index: int, met: Collection[str]) -> float:
    half = (support.seat.length_mm or 0.0) / 2.0 if support.seat else 0.0
    here = _along(frame, index, support.node) + _aside(frame, support, index)
    away = [abs(at - here) - half for at in _disturbed(frame, support, index, met)]
    return max(min(away, default=frame.geometry.lines[index].length), 0.0)


def _disturbed(frame: Frame, support: Support, index: int, met: Collection[str]) -> Iterator[float]:
    """Where along the piece others meet it, other bearings begin, and concentrated loads act or may act. met: nodes where several pieces meet."""
    design = frame.settled.design
    member = design.members[index]
    for node in member.nodes:
        if node in met:
            yield _along(frame, index, node)
    for other in design.supports:
        if other is not support and other.node in member.nodes:
            yield _along(frame, index, other.node) - (other.seat.length_mm or 0.0 if other.seat else 0.0) / 2.0
    for load in (load for action in design.actions for load in action.loads):
        if isinstance(load, PointLoad) and load.member == member.id:
            yield _along(frame, index, support.node) if load.at_mm is None else load.at_mm
        elif isinstance(load, NodeLoad) and load.node in member.nodes:
            yield _along(frame, index, load.node)


def _along(frame: Frame, index: int, node: str) -> float:
    line = frame.geometry.lines[index]
    x, y = frame.geometry.xy[frame.geometry.at[node]]
    return float((x - line.start[0]) * line.cos + (y - line.start[1]) * line.sin)


def _aside(frame: Frame, support: Support, index: int) -> float:
    return (support.seat.offset_mm[0] if support.seat else 0.0) * frame.geometry.lines[index].cos
