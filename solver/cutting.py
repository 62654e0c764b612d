"""Pieces checked and cut at their nodes, over plain numbers."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

from .checks import bad_stiffness
from .faults import BadGeometry
from .frame import Frame

NOT_OFF = (0.0, 0.0)


class Cut(NamedTuple):
    """``starts``, ``stops`` nodes and ``piece`` of every bay; ``hinges`` of every bay, see :class:`solver.mesh.Mesh`; ``first`` bay of every piece
    and ``stiffness``: its ea, ei, ga and mass; ``turning`` nodes that a piece turns with; ``offset``: some end stands off its node; ``soft``: some
    piece is soft in shear; ``sprung``: some joint is neither rigid nor pinned.
    """

    starts: list[int]
    stops: list[int]
    piece: list[int]
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
    hinges: list[int] = []
    first: list[int] = [0]
    stiffness: list[float] = []
    turning: list[int] = []
    offset = soft = sprung = False
    for number, piece in enumerate(frame.pieces):
        nodes, start, end = piece.nodes, piece.start, piece.end
        ea, ei, ga, mass = own = piece.ea, piece.ei, piece.ga, piece.mass
        if not (0.0 < ea < inf and 0.0 < ei < inf and ga > 0.0 and 0.0 <= mass < inf and start >= 0.0 and end >= 0.0):
            raise bad_stiffness(number, piece)
        stiffness += own
        inner = len(nodes) - 2
        if inner > 0:
            numbers += [number] * (inner + 1)
            starts += nodes[:-1]
            stops += nodes[1:]
            hinges += (0 if start else 2, *([0] * (inner - 1)), 0 if end else 1)
            turning += nodes[1:-1]
        elif inner:
            raise BadGeometry("too-short", number, nodes)
        else:
            numbers.append(number)
            starts.append(nodes[0])
            stops.append(nodes[1])
            hinges.append((0 if start else 2) + (0 if end else 1))
        first.append(len(starts))
        soft = soft or ga < inf
        if start or end:
            sprung = sprung or 0.0 < start < inf or 0.0 < end < inf
            turning += [node for node, joint in ((nodes[0], start), (nodes[-1], end)) if joint]
        if piece.start_offset != NOT_OFF or piece.end_offset != NOT_OFF:
            offset = True
            turning += [node for node, off in ((nodes[0], piece.start_offset), (nodes[-1], piece.end_offset)) if off != NOT_OFF]
    return Cut(starts, stops, numbers, hinges, first, stiffness, turning, offset, soft, sprung)
