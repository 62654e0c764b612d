"""Where a piece of timber lies: its points, its length, and whether the nodes it names are on one straight line, in order."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rules.subject.faults import Fault, pointer
from rules.subject.frame import Member, Node

TOLERANCE_MM = 1.0
"""How far a node may be off its piece's line, how near two nodes may be, and how far beyond its end a place may be given."""

_VERTICAL_WITHIN_DEG = 5.0

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Axis:
    """The straight line from a piece's first node to its last. Lengths in mm, directions from the first node to the last."""

    length_mm: float
    across_mm: float
    up_mm: float

    @property
    def is_vertical(self) -> bool:
        """Within 5° of vertical: its faces are then left and right, not upper and lower."""
        return abs(self.across_mm) <= self.length_mm * math.sin(math.radians(_VERTICAL_WITHIN_DEG)) * (1 + 1e-9)

    @property
    def faces(self) -> tuple[str, str]:
        """The names its two faces go by."""
        return ("left", "right") if self.is_vertical else ("upper", "lower")


def axis_of(member: Member, nodes: Mapping[str, Node]) -> Axis | None:
    """The axis of a piece, or None when a node is unknown, named twice, or the piece has no length or is bent."""
    if any(node not in nodes for node in member.nodes) or next(bends(0, member, nodes), None) is not None:
        return None
    (x1, y1), (x2, y2) = (_point(nodes[node]) for node in (member.nodes[0], member.nodes[-1]))
    return Axis(math.hypot(x2 - x1, y2 - y1), x2 - x1, y2 - y1)


def bends(place: int, member: Member, nodes: Mapping[str, Node]) -> Iterator[Fault]:
    """What is wrong with the line of the piece at index `place`; its nodes are all known."""
    if len(set(member.nodes)) < len(member.nodes):
        yield from _twice(place, member)
        return
    first, *inner, last = (_point(nodes[node]) for node in member.nodes)
    length = math.dist(first, last)
    if length < TOLERANCE_MM:
        where = pointer("members", place, "nodes")
        hint = "Let it run between two places."
        yield Fault(where, "zero-length", f"“{member.id}” begins and ends at one place.", list(member.nodes), None, hint)
        return
    yield from _crooked(place, member, inner, _Line(first, last, length))


@dataclass(frozen=True, slots=True)
class _Line:
    first: Point
    last: Point
    length: float

    def place_of(self, point: Point) -> tuple[float, float]:
        """Distance along the line, and to its left, in mm."""
        (x1, y1), (x2, y2) = self.first, self.last
        dx, dy = (x2 - x1) / self.length, (y2 - y1) / self.length
        x, y = point[0] - x1, point[1] - y1
        return x * dx + y * dy, y * dx - x * dy


def _point(node: Node) -> Point:
    return node.x_mm, node.y_mm


def _twice(place: int, member: Member) -> Iterator[Fault]:
    seen: set[str] = set()
    for step, node in enumerate(member.nodes):
        if node in seen:
            detail = f"“{member.id}” runs through node “{node}” twice."
            yield Fault(pointer("members", place, "nodes", step), "node-twice", detail, node, None, "Name each node once.")
        seen.add(node)


def _crooked(place: int, member: Member, inner: Sequence[Point], line: _Line) -> Iterator[Fault]:
    reached = 0.0
    for step, point in enumerate(inner, start=1):
        where, name = pointer("members", place, "nodes", step), member.nodes[step]
        along, beside = line.place_of(point)
        if abs(beside) > TOLERANCE_MM:
            detail = f"“{member.id}” is bent: node “{name}” is {abs(beside):.4g} mm off the line from its first node to its last."
            hint = "Make it two pieces that meet there, or move the node."
            yield Fault(where, "bent-piece", detail, round(abs(beside), 3), "at most 1 mm", hint)
        elif not reached < along < line.length:
            detail = f"Node “{name}” comes out of order along “{member.id}”."
            yield Fault(where, "out-of-order", detail, name, None, "Name the nodes in the order in which the piece meets them.")
        reached = max(reached, along)
