"""Pieces checked and cut at their nodes, over plain numbers."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

from .checks import bad_stiffness
from .faults import BadGeometry
from .frame import Frame

NOT_OFF = (0.0, 0.0)


class Cut(NamedTuple):
    """``starts``, ``stops`` nodes and ``piece`` of every bay, and ``heads``, the first bay of that piece; ``near``, ``far`` flexibility of the
    joints at its ends, none between the bays of a piece; ``first`` bay of every piece and ``stiffness``: its ea, ei, ga and mass; ``turning``
    nodes that a piece turns with; ``offset``: some end stands off its node; ``soft``: some piece is soft in shear.
    """

    starts: list[int]
    stops: list[int]
    piece: list[int]
    heads: list[int]
    near: list[float]
    far: list[float]
    hinges: list[int]
    first: list[int]
    stiffness: list[float]
    turning: list[int]
    offset: bool
    soft: bool
    sprung: bool


def cut(frame: Frame) -> Cut:
    """Pieces checked and cut at their nodes in one pass over plain numbers: cheaper than arrays for the small frames that are most of the work."""
    starts: list[int] = []
    stops: list[int] = []
    numbers: list[int] = []
    heads: list[int] = []
    near: list[float] = []
    far: list[float] = []
    hinges: list[int] = []
    first: list[int] = [0]
    stiffness: list[float] = []
    turning: list[int] = []
    offset = soft = sprung = False
    head = 0
    for number, piece in enumerate(frame.pieces):
        nodes, start, end = piece.nodes, piece.start, piece.end
        ea, ei, ga, mass = own = piece.ea, piece.ei, piece.ga, piece.mass
        if not (0.0 < ea < inf and 0.0 < ei < inf and ga > 0.0 and 0.0 <= mass < inf and start >= 0.0 and end >= 0.0):
            raise bad_stiffness(number, piece)
        stiffness += own
        inner = len(nodes) - 2
        near.append(1.0 / start if start else inf)
        if inner:
            if inner < 0:
                raise BadGeometry("too-short", number, nodes)
            numbers += [number] * (inner + 1)
            heads += [head] * (inner + 1)
            starts += nodes[:-1]
            stops += nodes[1:]
            within = [0.0] * inner
            near += within
            far += within
            hinges += [0 if start else 2] + [0] * (inner - 1) + [0 if end else 1]
            turning += nodes[1:-1]
        else:
            hinges.append((0 if start else 2) + (0 if end else 1))
            numbers.append(number)
            heads.append(head)
            starts.append(nodes[0])
            stops.append(nodes[1])
        far.append(1.0 / end if end else inf)
        head += inner + 1
        first.append(head)
        soft = soft or ga < inf
        if start or end:
            sprung = sprung or 0.0 < start < inf or 0.0 < end < inf
            turning += [node for node, joint in ((nodes[0], start), (nodes[-1], end)) if joint]
        if piece.start_offset != NOT_OFF or piece.end_offset != NOT_OFF:
            offset = True
            turning += [node for node, off in ((nodes[0], piece.start_offset), (nodes[-1], piece.end_offset)) if off != NOT_OFF]
    return Cut(starts, stops, numbers, heads, near, far, hinges, first, stiffness, turning, offset, soft, sprung)
