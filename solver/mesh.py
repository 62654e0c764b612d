"""From pieces to bays: the arrays everything else works on. A bay is the stretch of a piece between neighbouring nodes of it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import inf

import numpy as np

from .checks import check_ends, check_lines, check_nodes, check_parts, check_pieces, check_supports
from .frame import Array, Flags, Frame, Index, Piece


@dataclass(frozen=True, slots=True)
class Mesh:
    """Bays (B) and unknowns of a frame of n nodes. Unknown ``3 * node + k``: displacement along axis k of the node, then rotation.

    Where a support stands, the unknowns are those of the point where the reaction stands, in the support's axes.
    """

    frame: Frame
    xy: Array  # (n, 2) mm
    first: list[int]  # (P + 1,) number of the first bay of each piece
    piece: Index  # (B,)
    ends: Index  # (2, B) nodes
    arms: Array | None  # (2, 2, B) mm: end, then x or y: from the point of the node's unknowns to the end of the bay; None: all zero
    start: Array  # (2, B) mm
    length: Array  # (B,) mm
    cos: Array
    sin: Array
    at: Array  # (B,) mm from the first end of the piece to the bay's start
    ea: Array
    ei: Array
    shear: Array  # (B,) 1 / ga, 1/N
    soft: bool  # some shear is not zero
    mass: Array  # kg/mm
    joints: Array  # (2, B) rotational flexibility of the end joints, rad / (N mm)
    unknowns: Index  # (6, B)
    free: Flags  # (3 n,) unknowns to be solved for
    held: Flags  # (3 n,) unknowns prescribed by supports
    springs: Array | None  # (3 n,) N/mm and N mm/rad; None: there are none
    turned: tuple[Index, Array, Array] | None  # nodes with inclined axes, cosine, sine
    stands: tuple[Index, Array] | None  # nodes whose unknowns stand elsewhere, (k, 2) mm


def mesh(frame: Frame) -> Mesh:
    """The frame as arrays; raises the fault of geometry, stiffness, support or connection it meets first."""
    xy = np.asarray(frame.xy, dtype=float)
    check_nodes(frame, xy)
    ea, ei, ga, mass = check_pieces(frame).T[:4]
    cut = _Cut(frame)
    ends = np.array((cut.starts, cut.stops))
    check_ends(frame, xy, ends)
    check_parts(frame, len(xy), cut.starts, cut.stops)
    first, piece = np.array(cut.first), np.array(cut.piece)
    offsets = _offsets(frame, first, len(piece)) if cut.offset else None
    start, length, cos, sin = _drawn(frame, xy, ends, first, piece, offsets)
    grip = _grip(frame, len(xy), cut.turning)
    soft = bool(np.minimum.reduce(ga) < inf)
    return Mesh(
        frame, xy, cut.first, piece, ends, _arms(offsets, grip.stands, ends, len(xy)), start, length, cos, sin, _along(cut.first, length),
        ea[piece], ei[piece], (1.0 / ga if soft else np.zeros(len(ga)))[piece], soft, mass[piece], cut.joints(first, len(piece)),
        (3 * ends[:, None] + AXES).reshape(6, -1), grip.free, grip.held, grip.springs, grip.turned, grip.stands,
    )  # fmt: skip


AXES = np.arange(3)[:, None]


class _Cut:
    """Pieces cut at their nodes in one pass over plain numbers: cheaper than arrays for the small frames that are most of the work.

    ``starts``, ``stops`` nodes and ``piece`` of every bay; ``first`` bay of every piece; ``turning`` nodes that a piece turns with;
    ``offset``: some end stands off its node.
    """

    __slots__ = ("first", "flexible", "offset", "piece", "starts", "stops", "turning")

    def __init__(self, frame: Frame) -> None:
        self.starts: list[int] = []
        self.stops: list[int] = []
        self.piece: list[int] = []
        self.first = [0]
        self.turning: list[int] = []
        self.flexible: list[tuple[float, float]] = []
        self.offset = False
        for number, piece in enumerate(frame.pieces):
            self._add(number, piece)

    def _add(self, number: int, piece: Piece) -> None:
        nodes, start, end = piece.nodes, piece.start, piece.end
        self.starts += nodes[:-1]
        self.stops += nodes[1:]
        self.piece += [number] * (len(nodes) - 1)
        self.first.append(len(self.starts))
        self.flexible.append((1.0 / start if start else inf, 1.0 / end if end else inf))
        near, far = piece.start_offset != NOT_OFF, piece.end_offset != NOT_OFF
        self.offset = self.offset or near or far
        if start or near:
            self.turning.append(nodes[0])
        if end or far:
            self.turning.append(nodes[-1])
        if len(nodes) > 2:
            self.turning += nodes[1:-1]

    def joints(self, first: Index, count: int) -> Array:
        """(2, B) flexibility of the end joints: none between the bays of a piece."""
        joints = np.zeros((2, count))
        joints[0][first[:-1]], joints[1][first[1:] - 1] = np.array(self.flexible).T
        return joints


NOT_OFF = (0.0, 0.0)


def _drawn(frame: Frame, xy: Array, ends: Index, first: Index, piece: Index, offsets: Array | None) -> tuple[Array, Array, Array, Array]:
    """Start (2, B), length, cosine and sine of every bay."""
    points = xy.T.take(ends, axis=1)  # axis, end, bay
    with np.errstate(all="ignore"):  # what is not finite, or has no length, is named by the check
        if offsets is not None:
            points += offsets.swapaxes(0, 1)
        run = points[:, 1] - points[:, 0]
        length = np.hypot(run[0], run[1])
        check_lines(frame, points, run, length, first, piece)
        cos, sin = run / length
    return points[:, 0], length, cos, sin


def _along(first: list[int], length: Array) -> Array:
    """(B,) mm from the first end of the piece to the bay's start."""
    at = np.zeros(len(length))
    for a, b in pairwise(first):
        if b - a > 1:
            np.add.accumulate(length[a : b - 1], out=at[a + 1 : b])
    return at


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


@dataclass(frozen=True, slots=True)
class _Grip:
    free: Flags
    held: Flags
    springs: Array | None
    turned: tuple[Index, Array, Array] | None
    stands: tuple[Index, Array] | None


def _grip(frame: Frame, count: int, turning: list[int]) -> _Grip:
    """What the supports hold. ``turning`` nodes have a rotation; supports that ask for one add theirs."""
    check_supports(frame, count)
    holds = [3 * s.node + k for s in frame.supports for k, on in enumerate((s.x, s.y, s.rotation)) if on]
    turning = turning + [s.node for s in frame.supports if s.rotation or s.spring_rotation or s.offset != NOT_OFF]
    held, free = np.zeros(3 * count, dtype=bool), np.ones(3 * count, dtype=bool)
    held[holds] = True
    free[2::3] = False
    free[[3 * node + 2 for node in turning]] = True
    free[holds] = False
    return _Grip(free, held, _springs(frame, held), _turned(frame), _stands(frame))


def _springs(frame: Frame, held: Flags) -> Array | None:
    sprung = [s for s in frame.supports if s.spring_x or s.spring_y or s.spring_rotation]
    if not sprung:
        return None
    springs = np.zeros(len(held))
    for s in sprung:
        springs[3 * s.node : 3 * s.node + 3] = s.spring_x, s.spring_y, s.spring_rotation
    springs[held] = 0.0
    return springs


def _turned(frame: Frame) -> tuple[Index, Array, Array] | None:
    inclined = [s for s in frame.supports if s.inclined]
    if not inclined:
        return None
    angles = [s.inclined for s in inclined]
    return np.array([s.node for s in inclined]), np.cos(angles), np.sin(angles)


def _stands(frame: Frame) -> tuple[Index, Array] | None:
    apart = [s for s in frame.supports if s.offset != NOT_OFF]
    return (np.array([s.node for s in apart]), np.array([s.offset for s in apart], dtype=float)) if apart else None
