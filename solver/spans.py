"""Line loads cut at the nodes, and loads that stand in a span, on the bays where they are."""

from __future__ import annotations

import numpy as np

from .brackets import NOTHING, Brackets, joined
from .checks import STRAIGHT_MM
from .frame import Array, Index
from .kinds import SNAP_MM
from .mesh import Mesh


def laid(mesh: Mesh, rows: Array, even: Array) -> tuple[Array | None, Brackets]:
    """Cut line loads, rows (case, piece, start, end, qx twice, qy twice), at the nodes.

    Adds the even part of what covers a bay to ``even`` (C, 2, B); returns its ramp (C, 2, B), or None, and what does not cover its bay.
    """
    row, bay = _spans(mesh, rows[:, 1])
    given = rows[row]
    case, begin, run = given[:, 0].astype(np.intp), given[:, 2], given[:, 3] - given[:, 2]
    length = mesh.length[bay]
    start = begin - mesh.at[bay]
    stop = start + run
    start = np.where(start < SNAP_MM, 0.0, start)
    stop = np.where(stop > length - SNAP_MM, length, stop)
    slope = (given[:, 5::2] - given[:, 4::2]).T / np.maximum(run, SNAP_MM)
    level = given[:, 4::2].T + slope * (mesh.at[bay] + start - begin)
    covered = stop - start
    full, part = covered == length, covered > SNAP_MM
    ramp = _cover(even, case[full], bay[full], level[:, full] * length[full], slope[:, full] * length[full] ** 2)
    part &= ~full
    if not part.any():
        return ramp, NOTHING
    level, slope = _local(mesh, bay[part], level[:, part]), _local(mesh, bay[part], slope[:, part])
    return ramp, _partial(case[part], bay[part], start[part], stop[part], length[part], level, slope)


def _spans(mesh: Mesh, pieces: Array) -> tuple[Index, Index]:
    """Row and bay of every bay of every row's piece."""
    row: list[int] = []
    bay: list[int] = []
    first = mesh.first
    for number, piece in enumerate(pieces.tolist()):
        a, b = first[int(piece)], first[int(piece) + 1]
        row += [number] * (b - a)
        bay += range(a, b)
    return np.array(row), np.array(bay)


def _cover(even: Array, case: Index, bay: Index, level: Array, slope: Array) -> Array | None:
    """Add levels (2, k) to ``even`` (C, 2, B) in place; the slopes on a table of their own, where there are any."""
    count, _, bays = even.shape
    flat, size = case * bays + bay, count * bays

    def spread(part: Array) -> Array:
        return np.bincount(flat, part, size).astype(float, copy=False).reshape(count, bays)

    for axis in (0, 1):
        even[:, axis] += spread(level[axis])
    return np.stack([spread(part) for part in slope], axis=1) if slope.any() else None


def _local(mesh: Mesh, bay: Index, parts: Array) -> Array:
    """x and y (2, k) as along and across the bays."""
    c, s = mesh.way[:, bay]
    return np.array((c * parts[0] + s * parts[1], c * parts[1] - s * parts[0]))


def _partial(case: Index, bay: Index, start: Array, stop: Array, length: Array, level: Array, slope: Array) -> Brackets:
    """A trapezoid between two places: a step and a ramp on, and off again where it stops short of the bay's end."""
    inner = stop < length
    off = level + slope * (stop - start)
    step, ramp = np.zeros(len(case), dtype=np.intp), np.ones(len(case), dtype=np.intp)
    return Brackets(
        np.concatenate((case, case, case[inner], case[inner])),
        np.concatenate((bay, bay, bay[inner], bay[inner])),
        np.concatenate((start, start, stop[inner], stop[inner])),
        np.concatenate((step, ramp, step[inner], ramp[inner])),
        *np.concatenate((level, slope, -off[:, inner], -slope[:, inner]), axis=1),
    )


def points(mesh: Mesh, rows: Array) -> Brackets:
    """Forces and moments in the span, rows (case, piece, at, fx, fy, m); at an inner node they stand at the start of the bay beyond it."""
    case, piece = rows[:, 0].astype(np.intp), rows[:, 1].astype(np.intp)
    first = np.array(mesh.first)
    begin, last = first[piece], first[piece + 1] - 1
    lift, along = _lift(mesh), mesh.at
    bay = np.searchsorted(along + lift[mesh.piece], rows[:, 2] + lift[piece], side="right") - 1
    bay = np.clip(bay, begin, last)
    at = np.clip(rows[:, 2] - along[bay], 0.0, mesh.length[bay])
    force = np.full(len(case), -1, dtype=np.intp)
    brackets = [Brackets(case, bay, at, force, *_local(mesh, bay, rows[:, 3:5].T))]
    turn = rows[:, 5] != 0.0
    if turn.any():
        zero = np.zeros(int(turn.sum()))
        brackets.append(Brackets(case[turn], bay[turn], at[turn], force[turn] - 1, zero, -rows[turn, 5]))
    return joined(brackets)


def _lift(mesh: Mesh) -> Array:
    """(P,) added to places on successive pieces so that they increase and one search finds the bay on any piece."""
    reach = mesh.reach + 4.0 * STRAIGHT_MM
    return np.asarray(np.cumsum(reach) - reach)
