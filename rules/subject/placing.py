"""Whether a load case's loads can be placed: on pieces and nodes that are there, within them, with a direction that means something."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rules.subject.actions import DIRECTIONS, LineLoad, Load, NodeLoad, PointLoad
from rules.subject.axes import TOLERANCE_MM, Axis
from rules.subject.faults import Fault, pointer
from rules.subject.names import Register

_TO_A_FACE = ("pressure", "suction")
_ALONG = {"plan": ("down", "up"), "height": ("left", "right")}


@dataclass(frozen=True, slots=True)
class Places:
    """What loads may stand on. axes: of the pieces whose line is sound, by id."""

    nodes: Register
    members: Register
    axes: Mapping[str, Axis]


def misplaced(action: int, index: int, load: Load, places: Places) -> Iterator[Fault]:
    """Everything wrong with load `index` of action `action`."""
    at = ("actions", action, "loads", index)
    if isinstance(load, NodeLoad):
        yield from places.nodes.faults(load.node, *at, "node")
        return
    yield from places.members.faults(load.member, *at, "member")
    axis = places.axes.get(load.member)
    yield from _line(at, load, axis) if isinstance(load, LineLoad) else _point(at, load, axis)
    if (load.direction in _TO_A_FACE and load.face is None) or (load.face is not None and axis is not None):
        yield from _face(at, load, axis)


At = tuple[str | int, ...]


def _line(at: At, load: LineLoad, axis: Axis | None) -> Iterator[Fault]:
    allowed = _ALONG.get(load.along, (load.direction,))
    if load.direction not in allowed:
        detail = f"A load per metre of {load.along} cannot act “{load.direction}”."
        hint = "Give it along the member, or turn it."
        yield Fault(pointer(*at, "direction"), "direction-along", detail, load.direction, list(allowed), hint)
    yield from _extent(at, load, axis)
    if axis is not None:
        yield from _projection(at, load, axis)


def _extent(at: At, load: LineLoad, axis: Axis | None) -> Iterator[Fault]:
    begin = load.from_mm or 0.0
    end = load.to_mm if load.to_mm is not None else (axis.length_mm if axis else float("inf"))
    outside = list(_beyond((*at, "from_mm"), load.from_mm, axis)) + list(_beyond((*at, "to_mm"), load.to_mm, axis))
    yield from outside
    if begin >= end and not outside:
        detail = f"The load begins at {begin:.9g} mm and ends at {end:.9g} mm."
        yield Fault(pointer(*at, "from_mm"), "no-extent", detail, begin, f"below {end:.9g} mm", "Let it end beyond its beginning.")


def _projection(at: At, load: LineLoad, axis: Axis) -> Iterator[Fault]:
    seen = {"plan": abs(axis.across_mm), "height": abs(axis.up_mm)}.get(load.along, axis.length_mm)
    if seen < TOLERANCE_MM:
        detail = f"“{load.member}” has no length in {load.along}, so a load per metre of {load.along} is none."
        yield Fault(pointer(*at, "along"), "no-extent", detail, load.along, ["member"], "Give the load along the member.")


def _point(at: At, load: PointLoad, axis: Axis | None) -> Iterator[Fault]:
    if (load.point_kn is None) == (load.moment_knm is None):
        detail = "A load at a point is either a force or a moment."
        hint = "State exactly one of them; split it in two if both act."
        yield Fault(pointer(*at), "unclear-form", detail, None, ["point_kn", "moment_knm"], hint)
    if load.point_kn is not None and load.direction is None:
        hint = "Say where the force acts: there is no default."
        yield Fault(pointer(*at, "direction"), "required", "A force needs a direction.", None, list(DIRECTIONS), hint)
    if load.point_kn is None and load.direction is not None:
        hint = "Leave the direction out; counter-clockwise is positive."
        yield Fault(pointer(*at, "direction"), "direction-of-moment", "A moment has no direction.", load.direction, None, hint)
    yield from _where(at, load)
    yield from _beyond((*at, "at_mm"), load.at_mm, axis)


def _where(at: At, load: PointLoad) -> Iterator[Fault]:
    """A load at a point stands at one place or, if it is a force, anywhere."""
    if load.anywhere and load.at_mm is not None:
        hint = "Leave at_mm out, or say that it does not stand anywhere."
        yield Fault(pointer(*at, "at_mm"), "unclear-form", "A force that stands anywhere has no place of its own.", load.at_mm, None, hint)
    if not load.anywhere and load.at_mm is None:
        hint = 'State at_mm, along the piece from its first node, or "anywhere": true for a force that may stand at every place.'
        yield Fault(pointer(*at, "at_mm"), "required", "A load at a point needs its place.", None, None, hint)
    if load.anywhere and load.moment_knm is not None:
        yield Fault(pointer(*at, "anywhere"), "unclear-form", "Only a force may stand anywhere.", True, False, "Give the moment its place.")


def _beyond(at: At, place: float | None, axis: Axis | None) -> Iterator[Fault]:
    if place is not None and axis is not None and place > axis.length_mm + TOLERANCE_MM:
        detail = f"{place:.9g} mm is beyond the end of the piece, which is {axis.length_mm:.9g} mm long."
        hint = "Measure along the piece from its first node."
        yield Fault(pointer(*at), "beyond-piece", detail, place, f"at most {axis.length_mm:.9g} mm", hint)


def _face(at: At, load: LineLoad | PointLoad, axis: Axis | None) -> Iterator[Fault]:
    allowed = axis.faces if axis is not None else ("upper", "lower", "left", "right")
    if load.face is None:
        detail = f"{(load.direction or '').capitalize()} needs the face it acts on."
        yield Fault(pointer(*at, "face"), "required", detail, None, list(allowed), "Say which face of the piece is loaded.")
    elif load.face not in allowed:
        lies = "within 5° of vertical" if "left" in allowed else "more than 5° off vertical"
        detail = f"“{load.member}” is {lies}, so it has no {load.face} face."
        yield Fault(pointer(*at, "face"), "wrong-face", detail, load.face, list(allowed), "Name the face as it lies in the frame.")
