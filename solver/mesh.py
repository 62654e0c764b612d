"""From pieces to bays: the arrays everything else works on. A bay is the stretch of a piece between neighbouring nodes of it."""

from __future__ import annotations

from itertools import pairwise
from math import inf
from struct import pack
from typing import NamedTuple

import numpy as np

from .checks import check_lines, check_nodes, check_parts, check_supports
from .cutting import NOT_OFF, Cut, cut
from .frame import Array, Flags, Frame, Index, Piece, Support


class Mesh(NamedTuple):
    """Bays (B) and unknowns of a frame of n nodes. Unknown ``3 * node + k``: displacement along axis k of the node, then rotation.

    Where a support stands, the unknowns are those of the point where the reaction stands, in the support's axes.
    """

    pieces: tuple[Piece, ...]
    supports: tuple[Support, ...]
    xy: Array  # (n, 2) mm
    first: list[int]  # (P + 1,) number of the first bay of each piece
    piece: Index  # (B,)
    ends: Index  # (2, B) nodes
    arms: Array | None  # (2, 2, B) mm: end, then x or y: from the point of the node's unknowns to the end of the bay; None: all zero
    start: Array  # (2, B) mm
    length: Array  # (B,) mm
    way: Array  # (2, B) cosine and sine
    reach: Array  # (P,) mm length of each piece
    ea: Array
    ei: Array
    shear: Array | None  # (B,) 1 / ga, 1/N; None: all zero
    mass: Array  # kg/mm
    hinges: Index  # (B,) 0: both joints rigid, 1: pinned at the end, 2: at the start, 3: at both; where nothing is sprung
    sprung: bool  # some joint is neither rigid nor pinned
    unknowns: Index  # (6, B)
    free: Flags  # (3 n,) unknowns to be solved for
    held: Flags  # (3 n,) unknowns prescribed by supports
    springs: Array | None  # (3 n,) N/mm and N mm/rad; None: there are none
    turned: tuple[Index, Array, Array] | None  # nodes with inclined axes, cosine, sine
    stands: tuple[Index, Array] | None  # nodes whose unknowns stand elsewhere, (k, 2) mm

    @property
    def cos(self) -> Array:
        """(B,) cosine of every bay with the x axis."""
        return np.asarray(self.way[0])

    @property
    def sin(self) -> Array:
        """(B,) sine of every bay with the x axis."""
        return np.asarray(self.way[1])

    @property
    def joints(self) -> Array:
        """(2, B) rotational flexibility of the end joints, rad / (N mm); inf: pinned; none between the bays of a piece."""
        pieces, found = self.pieces, np.zeros((2, len(self.length)))
        found[0, self.first[:-1]] = [1.0 / piece.start if piece.start else inf for piece in pieces]
        found[1, np.array(self.first[1:]) - 1] = [1.0 / piece.end if piece.end else inf for piece in pieces]
        return found

    @property
    def at(self) -> Array:
        """(B,) mm from the first end of the piece to the bay's start."""
        at = np.zeros(len(self.length))
        for a, b in pairwise(self.first):
            if b - a > 1:
                np.add.accumulate(self.length[a : b - 1], out=at[a + 1 : b])
        return at


def mesh(frame: Frame) -> Mesh:
    """The frame as arrays, checked and cut when they are first asked for; raises the fault of geometry, stiffness, support or connection it meets
    first.

    What is not finite, or has no length, is named by the checks: whoever calls lets numpy be silent about it.
    """
    if not frame.checked:
        frame.checked.append(_cut(frame))
    return frame.checked[0]


def _cut(frame: Frame) -> Mesh:
    xy = frame.xy
    check_nodes(frame, xy)
    pieces = cut(frame)
    check_parts(frame, len(xy), pieces.starts, pieces.stops)
    bays, first = _numbers(pieces)
    ends, piece = bays[:2], bays[2]
    offsets = _offsets(frame, first, len(piece)) if pieces.offset else None
    start, length, way, reach = _drawn(frame, xy, ends, first, piece, offsets)
    free, held, springs, turned, stands = _grip(frame, len(xy), pieces.turning)
    ea, ei, ga, mass = np.frombuffer(pack(f"{len(pieces.stiffness)}d", *pieces.stiffness)).reshape(-1, 4).T.take(piece, axis=1)
    return Mesh(
        frame.pieces, frame.supports, xy, pieces.first, piece, ends, _arms(offsets, stands, ends, len(xy)), start, length, way, reach,
        ea, ei, 1.0 / ga if pieces.soft else None, mass, bays[3], pieces.sprung,
        _unknowns(len(xy), ends), free, held, springs, turned, stands,
    )  # fmt: skip


def _numbers(pieces: Cut) -> tuple[Index, Index]:
    """(4, B) both nodes, piece and hinges of every bay, and (P + 1,) the first bay of each piece."""
    numbers = pieces.starts + pieces.stops + pieces.piece + pieces.hinges + pieces.first
    found = np.frombuffer(pack(f"{len(numbers)}q", *numbers), np.int64).astype(np.intp, copy=False)
    count = 4 * len(pieces.starts)
    return found[:count].reshape(4, -1), found[count:]


def _unknowns(count: int, ends: Index) -> Index:
    """(6, B) of the bays, of ``count`` nodes."""
    return np.arange(3 * count).reshape(count, 3).take(ends, axis=0).swapaxes(1, 2).reshape(6, -1)


def _drawn(frame: Frame, xy: Array, ends: Index, first: Index, piece: Index, offsets: Array | None) -> tuple[Array, Array, Array, Array]:
    """Start (2, B), length and way (2, B) of every bay, and the reach of every piece."""
    points = xy.T.take(ends, axis=1)  # axis, end, bay
    if offsets is not None:
        points += offsets.swapaxes(0, 1)
    start = points[:, 0]
    run = points[:, 1] - start
    length = np.hypot(run[0], run[1])
    way = run / length
    check_lines(frame, points, run, length, way, first, piece, offsets is None and not frame.inner)
    return start, length, way, np.add.reduceat(length, first[:-1])


def _offsets(frame: Frame, first: Index, count: int) -> Array:
    """(2, 2, B) mm: end, then x or y."""
    offsets = np.zeros((2, 2, count))
    offsets[0][:, first[:-1]] = np.array([piece.start_offset for piece in frame.pieces]).T
    offsets[1][:, first[1:] - 1] = np.array([piece.end_offset for piece in frame.pieces]).T
    return offsets


def _arms(offsets: Array | None, stands: tuple[Index, Array] | None, ends: Index, count: int) -> Array | None:
    if stands is None:
        return offsets
    shift = np.zeros((count, 2))
    shift[stands[0]] = stands[1]
    arms = -shift[ends].transpose(0, 2, 1)
    return arms if offsets is None else arms + offsets


class _Grip(NamedTuple):
    """What the supports do to the unknowns: see :class:`Mesh`."""

    free: Flags
    held: Flags
    springs: Array | None
    turned: tuple[Index, Array, Array] | None
    stands: tuple[Index, Array] | None


def _grip(frame: Frame, count: int, turning: list[int]) -> _Grip:
    """``turning`` nodes have a rotation; supports that ask for one add theirs."""
    check_supports(frame, count)
    free, held = bytearray(b"\1\1\0" * count), bytearray(3 * count)
    for node in turning:
        free[3 * node + 2] = 1
    sprung, inclined, apart = [], [], []
    for support in frame.supports:
        place = 3 * support.node
        if support.rotation or support.spring_rotation or support.offset != NOT_OFF:
            free[place + 2] = 1
        if support.x:
            free[place], held[place] = 0, 1
        if support.y:
            free[place + 1], held[place + 1] = 0, 1
        if support.rotation:
            free[place + 2], held[place + 2] = 0, 1
        if support.spring_x or support.spring_y or support.spring_rotation:
            sprung.append(support)
        if support.inclined:
            inclined.append(support)
        if support.offset != NOT_OFF:
            apart.append(support)
    fixed = np.frombuffer(held, dtype=bool)
    return _Grip(np.frombuffer(free, dtype=bool), fixed, _springs(sprung, fixed), _turned(inclined), _stands(apart))


def _springs(sprung: list[Support], held: Flags) -> Array | None:
    if not sprung:
        return None
    springs = np.zeros(len(held))
    for s in sprung:
        springs[3 * s.node : 3 * s.node + 3] = s.spring_x, s.spring_y, s.spring_rotation
    springs[held] = 0.0
    return springs


def _turned(inclined: list[Support]) -> tuple[Index, Array, Array] | None:
    if not inclined:
        return None
    angles = [s.inclined for s in inclined]
    return np.array([s.node for s in inclined]), np.cos(angles), np.sin(angles)


def _stands(apart: list[Support]) -> tuple[Index, Array] | None:
    return (np.array([s.node for s in apart]), np.array([s.offset for s in apart], dtype=float)) if apart else None
