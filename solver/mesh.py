"""From pieces to bays: the arrays everything else works on. A bay is the stretch of a piece between neighbouring nodes of it."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, inf

import numpy as np

from .checks import Line, check_length, check_nodes, check_parts, check_pieces, check_supports
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
    check_pieces(frame)
    bays = _Bays(frame, xy.tolist())
    check_parts(len(xy), bays.starts, bays.stops)
    grip = _grip(frame, len(xy), bays.turns)
    ends = np.array((bays.starts, bays.stops))
    piece = np.array(bays.piece)
    x, y, length, cos, sin, at, joint, other = np.array(bays.rows).T
    ea, ei, shear, mass = np.array([(p.ea, p.ei, 1.0 / p.ga, p.mass) for p in frame.pieces])[piece].T
    offsets = _offsets(frame, bays.first, len(piece)) if bays.offset else None
    unknowns = (3 * ends[:, None] + np.arange(3)[:, None]).reshape(6, -1)
    return Mesh(
        frame, xy, bays.first, piece, ends, _arms(offsets, grip.stands, ends, len(xy)), np.array((x, y)), length, cos, sin, at,
        ea, ei, shear, any(p.ga < inf for p in frame.pieces), mass, np.array((joint, other)), unknowns, grip.free, grip.held, grip.springs, grip.turned, grip.stands,
    )  # fmt: skip


class _Bays:
    """Pieces cut at their nodes in one pass: plain numbers are cheaper than arrays for the small frames that are most of the work.

    ``rows``: x, y of the start, length, cosine, sine, place on the piece, flexibility of the joint at the start and at the end.
    """

    __slots__ = ("first", "offset", "piece", "rows", "starts", "stops", "turns", "xy")

    def __init__(self, frame: Frame, xy: list[list[float]]) -> None:
        self.xy = xy
        self.first = [0]
        self.piece: list[int] = []
        self.starts: list[int] = []
        self.stops: list[int] = []
        self.rows: list[tuple[float, ...]] = []
        self.turns = [False] * len(xy)
        self.offset = False
        for number, piece in enumerate(frame.pieces):
            self._cut(number, piece)

    def _cut(self, number: int, piece: Piece) -> None:
        points = self._points(piece)
        joint = 1.0 / piece.start if piece.start else inf
        other = 1.0 / piece.end if piece.end else inf
        self.starts += piece.nodes[:-1]
        self.stops += piece.nodes[1:]
        if len(points) == 2:
            (x1, y1), (x2, y2) = points
            length = check_length(number, piece, hypot(x2 - x1, y2 - y1))
            self.piece.append(number)
            self.rows.append((x1, y1, length, (x2 - x1) / length, (y2 - y1) / length, 0.0, joint, other))
        else:
            self._cut_many(number, points, Line(number, piece, points[0], points[-1]), joint, other)
        self.first.append(len(self.rows))

    def _cut_many(self, number: int, points: list[list[float]], whole: Line, joint: float, other: float) -> None:
        at, (x1, y1) = 0.0, points[0]
        for x2, y2 in points[1:]:
            dx, dy = x2 - x1, y2 - y1
            length = hypot(dx, dy)
            whole.check(x2, y2, dx, dy, length)
            self.piece.append(number)
            self.rows.append((x1, y1, length, dx / length, dy / length, at, joint, 0.0))
            x1, y1, at, joint = x2, y2, at + length, 0.0
        self.rows[-1] = (*self.rows[-1][:-1], other)

    def _points(self, piece: Piece) -> list[list[float]]:
        """Where the piece's axis passes its nodes. Notes which nodes turn with it and whether an end stands off."""
        nodes, turns = piece.nodes, self.turns
        points = [self.xy[node] for node in nodes]
        for node in nodes[1:-1]:
            turns[node] = True
        for k, stiffness, (dx, dy) in ((0, piece.start, piece.start_offset), (-1, piece.end, piece.end_offset)):
            if dx or dy:
                self.offset = turns[nodes[k]] = True
                points[k] = [points[k][0] + dx, points[k][1] + dy]
            elif stiffness:
                turns[nodes[k]] = True
        return points


def _offsets(frame: Frame, first: list[int], count: int) -> Array:
    offsets = np.zeros((2, 2, count))
    offsets[0][:, first[:-1]] = np.array([piece.start_offset for piece in frame.pieces]).T
    offsets[1][:, np.array(first[1:]) - 1] = np.array([piece.end_offset for piece in frame.pieces]).T
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


def _grip(frame: Frame, count: int, turns: list[bool]) -> _Grip:
    """What the supports hold. ``turns`` says which nodes have a rotation; supports that ask for one add theirs."""
    check_supports(frame, count)
    held = np.zeros(3 * count, dtype=bool)
    holds = [3 * s.node + k for s in frame.supports for k, on in enumerate((s.x, s.y, s.rotation)) if on]
    held[holds] = True
    springs = None
    for support in frame.supports:
        if support.rotation or support.spring_rotation or any(support.offset):
            turns[support.node] = True
        if support.spring_x or support.spring_y or support.spring_rotation:
            springs = np.zeros(3 * count) if springs is None else springs
            springs[3 * support.node : 3 * support.node + 3] = support.spring_x, support.spring_y, support.spring_rotation
    if springs is not None:
        springs[held] = 0.0
    free = np.ones(3 * count, dtype=bool)
    free[2::3] = turns
    free[holds] = False
    inclined = [s for s in frame.supports if s.inclined]
    apart = [s for s in frame.supports if any(s.offset)]
    turned = stands = None
    if inclined:
        angles = [s.inclined for s in inclined]
        turned = (np.array([s.node for s in inclined]), np.cos(angles), np.sin(angles))
    if apart:
        stands = (np.array([s.node for s in apart]), np.array([s.offset for s in apart], dtype=float))
    return _Grip(free, held, springs, turned, stands)
