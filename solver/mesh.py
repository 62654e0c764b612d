"""From pieces to bays: the arrays everything else works on. A bay is the stretch of a piece between neighbouring nodes of it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from math import cos, sin

import numpy as np

from .faults import BadGeometry, BadStiffness, BadSupport, Disconnected, NoHorizontalRestraint, NonFinite, NoSupport
from .frame import Array, Flags, Frame, Index, Piece

STRAIGHT_MM = 1.0  # how far a node may stand off the line of its piece
COINCIDENT_MM = 1e-3  # nodes closer than this are one place
LEVEL = 1e-9  # a hold whose cosine with the horizontal is below this holds nothing sideways


@dataclass(frozen=True, slots=True)
class Mesh:
    """Bays (B) and unknowns of a frame of n nodes. Unknown ``3 * node + k``: displacement along axis k of the node, then rotation.

    Where a support stands, the unknowns are those of the point where the reaction stands, in the support's axes.
    """

    frame: Frame
    first: Index  # (P + 1,) number of the first bay of each piece
    piece: Index  # (B,)
    ends: Index  # (2, B) nodes
    arms: Array  # (2, 2, B) mm: end, then x or y: from the point of the node's unknowns to the end of the bay
    start: Array  # (2, B) mm
    length: Array  # (B,) mm
    cos: Array
    sin: Array
    at: Array  # (B,) mm from the first end of the piece to the bay's start
    ea: Array
    ei: Array
    shear: Array  # (B,) 1 / ga, 1/N
    mass: Array  # kg/mm
    joints: Array  # (2, B) rotational flexibility of the end joints, rad / (N mm)
    unknowns: Index  # (6, B)
    free: Flags  # (3 n,) unknowns to be solved for
    held: Flags  # (3 n,) unknowns prescribed by supports
    springs: Array  # (3 n,) N/mm and N mm/rad
    turned: tuple[Index, Array, Array] | None  # nodes with inclined axes, cosine, sine
    stands: tuple[Index, Array] | None  # nodes whose unknowns stand elsewhere, (k, 2) mm


def mesh(frame: Frame) -> Mesh:
    """The frame as arrays; raises the fault of geometry, stiffness, support or connection it meets first."""
    xy = np.asarray(frame.xy, dtype=float)
    count = len(xy)
    sizes = np.array([len(piece.nodes) for piece in frame.pieces], dtype=np.intp)
    path = np.fromiter(chain.from_iterable(piece.nodes for piece in frame.pieces), dtype=np.intp)
    _check_nodes(frame, xy, sizes, path)
    values = np.array([_numbers(piece) for piece in frame.pieces])
    _check_pieces(frame, values)
    last = np.cumsum(sizes) - 1
    inside = np.ones(len(path), dtype=bool)
    inside[last] = False
    start = np.flatnonzero(inside)
    ends = np.array((path[start], path[start + 1]))
    first = np.concatenate(((0,), np.cumsum(sizes - 1)))
    piece = np.repeat(np.arange(len(sizes)), sizes - 1)
    _check_parts(count, ends)

    offsets = np.zeros((2, 2, len(piece)))
    offsets[0][:, first[:-1]] = values[:, 4:6].T
    offsets[1][:, first[1:] - 1] = values[:, 6:8].T
    points = xy.T[:, ends].transpose(1, 0, 2) + offsets
    run = points[1] - points[0]
    length = np.hypot(run[0], run[1])
    _check_lines(frame, points, length, first, piece)
    reach = np.cumsum(length)
    at = np.concatenate(((0.0,), reach[:-1]))
    at -= at[first[:-1]][piece]

    joints = np.zeros((2, len(piece)))
    joints[0, first[:-1]] = [_flexibility(p.start) for p in frame.pieces]
    joints[1, first[1:] - 1] = [_flexibility(p.end) for p in frame.pieces]
    turns = np.zeros(count, dtype=bool)
    turning = np.isfinite(joints) | offsets.any(axis=1)
    turns[ends[turning]] = True

    grip = _grip(frame, count, turns)
    arms = offsets
    if grip.stands is not None:
        shift = np.zeros((count, 2))
        shift[grip.stands[0]] = grip.stands[1]
        arms = offsets - shift[ends].transpose(0, 2, 1)
    ea, ei, shear, mass = values[:, :4].T[:, piece]
    triple = 3 * ends[:, None, :] + np.arange(3)[:, None]
    return Mesh(
        frame, first, piece, ends, arms, points[0], length, run[0] / length, run[1] / length, at, ea, ei, shear, mass, joints,
        triple.reshape(6, -1), grip.free, grip.held, grip.springs, grip.turned, grip.stands,
    )  # fmt: skip


def _numbers(piece: Piece) -> tuple[float, ...]:
    return (piece.ea, piece.ei, 1.0 / piece.ga if piece.ga else np.nan, piece.mass, *piece.start_offset, *piece.end_offset)


def _flexibility(stiffness: float) -> float:
    return 1.0 / stiffness if stiffness else np.inf


@dataclass(frozen=True, slots=True)
class _Grip:
    free: Flags
    held: Flags
    springs: Array
    turned: tuple[Index, Array, Array] | None
    stands: tuple[Index, Array] | None


def _grip(frame: Frame, count: int, turns: Flags) -> _Grip:
    """What the supports hold; ``turns`` (node has a rotation) is amended where a support asks for one."""
    springs = np.zeros((count, 3))
    held = np.zeros((count, 3), dtype=bool)
    for number, support in enumerate(frame.supports):
        _check_support(number, support.node, count)
        if held[support.node].any() or springs[support.node].any():
            raise BadSupport(number, support.node, "another support stands here")
        spring = (support.spring_x, support.spring_y, support.spring_rotation)
        _check_springs(number, spring)
        held[support.node] = support.x, support.y, support.rotation
        springs[support.node] = spring
        springs[support.node][held[support.node]] = 0.0
        if support.rotation or support.spring_rotation or any(support.offset):
            turns[support.node] = True
    _check_held(frame, held, springs)
    exists = np.ones((count, 3), dtype=bool)
    exists[:, 2] = turns
    inclined = [s for s in frame.supports if s.inclined]
    apart = [s for s in frame.supports if any(s.offset)]
    turned = stands = None
    if inclined:
        angles = [s.inclined for s in inclined]
        turned = (np.array([s.node for s in inclined]), np.cos(angles), np.sin(angles))
    if apart:
        stands = (np.array([s.node for s in apart]), np.array([s.offset for s in apart], dtype=float))
    return _Grip((exists & ~held).ravel(), held.ravel(), springs.ravel(), turned, stands)


def _check_nodes(frame: Frame, xy: Array, sizes: Index, path: Index) -> None:
    if xy.ndim != 2 or xy.shape[1] != 2 or not len(sizes):
        raise BadGeometry("too-short", None, ())
    if not np.isfinite(xy).all():
        raise NonFinite("xy")
    if sizes.min() < 2:
        number = int(sizes.argmin())
        raise BadGeometry("too-short", number, frame.pieces[number].nodes)
    if path.min() < 0 or path.max() >= len(xy):
        number = next(k for k, p in enumerate(frame.pieces) if min(p.nodes) < 0 or max(p.nodes) >= len(xy))
        raise BadGeometry("unknown-node", number, frame.pieces[number].nodes)
    order = np.lexsort(xy.T)
    close = (np.abs(np.diff(xy[order], axis=0)) < COINCIDENT_MM).all(axis=1)
    if close.any():
        here = int(close.argmax())
        raise BadGeometry("coincident", None, tuple(sorted(order[here : here + 2].tolist())))


def _check_pieces(frame: Frame, values: Array) -> None:
    if not np.isfinite(values[:, [0, 1, 3, 4, 5, 6, 7]]).all():
        raise NonFinite("pieces")
    if values[:, :2].min() > 0 and values[:, 2:4].min() >= 0 and min(min(p.start, p.end) for p in frame.pieces) >= 0:
        return  # NaN compares false, so it falls through to the search below
    for number, piece in enumerate(frame.pieces):
        for field in ("ea", "ei", "ga"):
            if not getattr(piece, field) > 0:
                raise BadStiffness("piece", number, field, getattr(piece, field))
        for field in ("mass", "start", "end"):
            if not getattr(piece, field) >= 0:
                raise BadStiffness("piece", number, field, getattr(piece, field))


def _check_lines(frame: Frame, points: Array, length: Array, first: Index, piece: Index) -> None:
    if length.min() < COINCIDENT_MM:
        number = int(piece[length.argmin()])
        raise BadGeometry("no-length", number, frame.pieces[number].nodes)
    if len(length) == len(first) - 1:
        return
    begin = points[0][:, first[:-1]][:, piece]
    whole = points[1][:, first[1:] - 1][:, piece] - begin
    span = np.hypot(whole[0], whole[1])
    if span.min() < COINCIDENT_MM:
        number = int(piece[span.argmin()])
        raise BadGeometry("doubles-back", number, frame.pieces[number].nodes)
    off = points[1] - begin
    aside = np.abs(whole[0] * off[1] - whole[1] * off[0]) / span
    if aside.max() > STRAIGHT_MM:
        number = int(piece[aside.argmax()])
        raise BadGeometry("bent", number, frame.pieces[number].nodes)
    forward = (whole * (points[1] - points[0])).sum(axis=0)
    if forward.min() <= 0:
        number = int(piece[forward.argmin()])
        raise BadGeometry("doubles-back", number, frame.pieces[number].nodes)


def _check_support(number: int, node: int, count: int) -> None:
    if not 0 <= node < count:
        raise BadSupport(number, node, "no such node")


def _check_springs(number: int, springs: tuple[float, float, float]) -> None:
    for field, value in zip(("spring_x", "spring_y", "spring_rotation"), springs, strict=True):
        if not 0 <= value < np.inf:
            raise BadStiffness("support", number, field, value)


def _check_held(frame: Frame, held: Flags, springs: Array) -> None:
    if not (held.any() or springs.any()):
        raise NoSupport
    for support in frame.supports:
        if not np.isfinite((support.inclined, *support.offset)).all():
            raise NonFinite("supports")
        grips = held[support.node] | (springs[support.node] > 0)
        if (grips[0] and abs(cos(support.inclined)) > LEVEL) or (grips[1] and abs(sin(support.inclined)) > LEVEL):
            return
    raise NoHorizontalRestraint


def _check_parts(count: int, ends: Index) -> None:
    parts = connected(count, ends)
    if len(parts) > 1:
        raise Disconnected(parts)


def connected(count: int, ends: Index) -> tuple[tuple[int, ...], ...]:
    """Groups of the ``count`` nodes joined by ``ends`` (2, B), the largest first."""
    parent = list(range(count))
    for a, b in zip(*ends.tolist(), strict=True):
        while parent[a] != a:
            parent[a] = a = parent[parent[a]]
        while parent[b] != b:
            parent[b] = b = parent[parent[b]]
        parent[max(a, b)] = min(a, b)
    groups: dict[int, list[int]] = {}
    for node in range(count):
        root = node
        while parent[root] != root:
            root = parent[root]
        groups.setdefault(root, []).append(node)
    return tuple(sorted((tuple(g) for g in groups.values()), key=len, reverse=True))
