"""Loads laid on the bays: a polynomial ``q(x) = q0 + q1 x`` where a load covers the bay, brackets where it starts, stops or stands inside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isfinite

import numpy as np

from .brackets import NOTHING, Brackets, joined, mixed_brackets
from .checks import STRAIGHT_MM
from .faults import BadLoad, NonFinite
from .frame import Array, Case, Index, LineLoad, NodeLoad, PointLoad, SettlementLoad
from .incidence import blocks
from .mesh import Mesh

SNAP_MM = 1e-7  # a load that starts or stops this close to a node does so at the node


@dataclass(frozen=True, slots=True)
class Loading:
    """All cases on the mesh: (C, ...) arrays of N, mm.

    ``whole`` (2, 2, C, B): axial then transverse; q0 then q1. ``strain`` (C, B) or None. ``nodal`` (C, 3 n): forces on the
    nodes in global axes. ``settled`` (C, 3 n) prescribed displacements, or None.
    """

    whole: Array
    brackets: Brackets
    strain: Array | None
    nodal: Array
    settled: Array | None


def loading(mesh: Mesh, cases: Sequence[Case]) -> Loading:
    """Sort the loads of all cases by kind and lay them on the mesh."""
    rows = _Rows(mesh, cases)
    count = len(cases)
    whole = np.zeros((2, 2, count, len(mesh.length)))
    parts = []
    if rows.even:
        _even(mesh, rows, whole)
    if rows.line:
        parts.append(_lines(mesh, _finite(rows.line, "line"), whole))
    if rows.point:
        parts.append(_points(mesh, _finite(rows.point, "point")))
    nodal = np.zeros((count, len(mesh.free)))
    for case, node, fx, fy, m in rows.node:
        here = 3 * node
        nodal[case, here : here + 3] += (fx, fy, m)
    strain = _table(rows.strain, mesh, count) if rows.strain else None
    settled = _settled(rows.settlement, mesh, count) if rows.settlement else None
    return Loading(whole, joined(parts), strain, nodal, settled)


class _Rows:
    """Rows of numbers by kind of load, each beginning with its case.

    Even loads over whole pieces, by far the most, are summed at once: ``even`` places in a table (C, P), ``x``, ``y`` N/mm.
    """

    __slots__ = ("even", "line", "node", "point", "settlement", "strain", "x", "y")

    def __init__(self, mesh: Mesh, cases: Sequence[Case]) -> None:
        self.even: list[int] = []
        self.x: list[float] = []
        self.y: list[float] = []
        self.line: list[tuple[float, ...]] = []
        self.point: list[tuple[float, ...]] = []
        self.node: list[tuple[int, int, float, float, float]] = []
        self.strain: list[tuple[float, ...]] = []
        self.settlement: list[tuple[float, ...]] = []
        reach = mesh.reach.tolist()
        for c, case in enumerate(cases):
            for k, load in enumerate(case):
                if isinstance(load, LineLoad):
                    self._line(c, k, load, reach)
                elif isinstance(load, NodeLoad):
                    _check_node(c, k, load, mesh)
                    self.node.append((c, load.node, load.fx, load.fy, load.m))
                elif isinstance(load, SettlementLoad):
                    _check_settlement(c, k, load, mesh)
                    self.settlement.append((c, load.support, load.x, load.y, load.rotation))
                elif not 0 <= load.piece < len(reach):
                    raise BadLoad(c, k, f"no piece {load.piece}")
                elif isinstance(load, PointLoad):
                    _check_place(c, k, load.at, load.at, reach[load.piece])
                    self.point.append((c, load.piece, load.at, load.fx, load.fy, load.m))
                else:
                    first, stop = mesh.first[load.piece], mesh.first[load.piece + 1]
                    if load.bay is not None and not 0 <= load.bay < stop - first:
                        raise BadLoad(c, k, f"no bay {load.bay} of piece {load.piece}")
                    bays = range(first, stop) if load.bay is None else (first + load.bay,)
                    self.strain += [(c, bay, load.strain) for bay in bays]

    def _line(self, case: int, number: int, load: LineLoad, reach: list[float]) -> None:
        """One line load; even ones over the whole piece apart."""
        piece, start, end, (qx, rx), (qy, ry) = load.piece, load.start, load.end, load.qx, load.qy
        if not 0 <= piece < len(reach):
            raise BadLoad(case, number, f"no piece {piece}")
        over = end - reach[piece]
        level = -inf < qx == rx < inf and -inf < qy == ry < inf
        if level and -STRAIGHT_MM <= start < SNAP_MM and -SNAP_MM < over <= STRAIGHT_MM:
            self.even.append(case * len(reach) + piece)
            self.x.append(qx)
            self.y.append(qy)
        else:
            _check_place(case, number, start, end, reach[piece])
            self.line.append((case, piece, start, end, qx, rx, qy, ry))


def _even(mesh: Mesh, rows: _Rows, whole: Array) -> None:
    """Lay even loads over whole pieces on their bays."""
    pieces, (c, s) = len(mesh.reach), mesh.way
    size = whole.shape[2] * pieces
    x, y = (np.bincount(rows.even, q, size).reshape(-1, pieces).take(mesh.piece, axis=1) for q in (rows.x, rows.y))
    np.add(c * x, s * y, out=whole[0, 0])
    np.subtract(c * y, s * x, out=whole[1, 0])


def _finite(rows: list[tuple[float, ...]], kind: str) -> Array:
    table = np.array(rows)
    if not np.isfinite(table).all():
        raise NonFinite(f"loads ({kind})")
    return table


def _check_place(case: int, load: int, start: float, end: float, reach: float) -> None:
    if start < -STRAIGHT_MM or end > reach + STRAIGHT_MM or end < start:
        raise BadLoad(case, load, f"{start} to {end} mm does not lie on a piece of {reach} mm")


def _check_node(case: int, load: int, given: NodeLoad, mesh: Mesh) -> None:
    if not 0 <= given.node < len(mesh.xy):
        raise BadLoad(case, load, f"no node {given.node}")
    turn = 3 * given.node + 2
    if not (isfinite(given.fx) and isfinite(given.fy) and isfinite(given.m)):
        raise NonFinite("loads (node)")
    if given.m and not (mesh.free[turn] or mesh.held[turn]):
        raise BadLoad(case, load, f"a moment on node {given.node}, which nothing rotates with")


def _check_settlement(case: int, load: int, given: SettlementLoad, mesh: Mesh) -> None:
    if not 0 <= given.support < len(mesh.frame.supports):
        raise BadLoad(case, load, f"no support {given.support}")
    base = 3 * mesh.frame.supports[given.support].node
    for axis, (name, value) in enumerate((("x", given.x), ("y", given.y), ("rotation", given.rotation))):
        sprung = mesh.springs is not None and mesh.springs[base + axis]
        if value and not (mesh.held[base + axis] or sprung):
            raise BadLoad(case, load, f"support {given.support} neither holds nor springs {name}")


def _lines(mesh: Mesh, rows: Array, whole: Array) -> Brackets:
    """Cut the line loads at the nodes; add what covers a bay to ``whole`` and return the rest."""
    row, bay = _spans(mesh, rows[:, 1])
    given = rows[row]
    base, length = mesh.at[bay], mesh.length[bay]
    begin = given[:, 2]
    run = given[:, 3] - begin
    start = begin - base
    stop = start + run
    start = np.where(start < SNAP_MM, 0.0, start)
    stop = np.where(stop > length - SNAP_MM, length, stop)
    slope = (given[:, 5::2] - given[:, 4::2]).T
    steep = slope.any()
    if steep:
        slope = slope / np.maximum(run, SNAP_MM)
    level = given[:, 4::2].T + slope * (base + start - begin) if steep else given[:, 4::2].T
    c, s = mesh.cos[bay], mesh.sin[bay]
    turn = np.array(((c, s), (-s, c)))
    level = (turn * level).sum(axis=1)
    slope = (turn * slope).sum(axis=1) if steep else np.zeros(level.shape)
    case = given[:, 0].astype(np.intp)
    covered = stop - start
    full = covered == length
    if full.all():
        _spread(whole, case, bay, level, slope if steep else None)
        return NOTHING
    _spread(whole, case[full], bay[full], level[:, full], slope[:, full])
    part = ~full & (covered > SNAP_MM)
    return _partial(case[part], bay[part], start[part], stop[part], length[part], level[:, part], slope[:, part])


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


def _spread(whole: Array, case: Index, bay: Index, level: Array, slope: Array | None) -> None:
    flat = case * whole.shape[3] + bay
    size = whole[0, 0].size
    for axis in (0, 1):
        whole[axis, 0] += np.bincount(flat, level[axis], size).reshape(whole.shape[2:])
        if slope is not None:
            whole[axis, 1] += np.bincount(flat, slope[axis], size).reshape(whole.shape[2:])


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


def _points(mesh: Mesh, rows: Array) -> Brackets:
    """Forces and moments in the span; at an inner node they stand at the start of the bay beyond it."""
    case, piece = rows[:, 0].astype(np.intp), rows[:, 1].astype(np.intp)
    first = np.array(mesh.first)
    begin, last = first[piece], first[piece + 1] - 1
    lift, along = _lift(mesh), mesh.at
    bay = np.searchsorted(along + lift[mesh.piece], rows[:, 2] + lift[piece], side="right") - 1
    bay = np.clip(bay, begin, last)
    at = np.clip(rows[:, 2] - along[bay], 0.0, mesh.length[bay])
    fx, fy, m = rows[:, 3:].T
    c, s = mesh.cos[bay], mesh.sin[bay]
    force = np.full(len(case), -1, dtype=np.intp)
    brackets = [Brackets(case, bay, at, force, c * fx + s * fy, c * fy - s * fx)]
    turn = m != 0.0
    if turn.any():
        zero = np.zeros(int(turn.sum()))
        brackets.append(Brackets(case[turn], bay[turn], at[turn], force[turn] - 1, zero, -m[turn]))
    return joined(brackets)


def _lift(mesh: Mesh) -> Array:
    """(P,) added to places on successive pieces so that they increase and one search finds the bay on any piece."""
    reach = mesh.reach + 4.0 * STRAIGHT_MM
    return np.asarray(np.cumsum(reach) - reach)


def onto_unknowns(mesh: Mesh, forces: Array) -> Array:
    """Forces (C, 3 n) at the nodes in global axes as forces on the unknowns."""
    if mesh.stands is None and mesh.turned is None:
        return forces
    forces = forces.copy()
    if mesh.stands is not None:
        node, shift = mesh.stands
        forces[:, 3 * node + 2] += shift[:, 1] * forces[:, 3 * node] - shift[:, 0] * forces[:, 3 * node + 1]
    if mesh.turned is not None:
        node, c, s = mesh.turned
        fx, fy = forces[:, 3 * node], forces[:, 3 * node + 1]
        forces[:, 3 * node], forces[:, 3 * node + 1] = c * fx + s * fy, c * fy - s * fx
    return forces


def _table(rows: list[tuple[float, ...]], mesh: Mesh, count: int) -> Array:
    table = np.zeros((count, len(mesh.length)))
    for case, bay, strain in _finite(rows, "length change").tolist():
        table[int(case), int(bay)] += strain
    return table


def _settled(rows: list[tuple[float, ...]], mesh: Mesh, count: int) -> Array:
    settled = np.zeros((count, len(mesh.free)))
    for case, support, *move in _finite(rows, "settlement").tolist():
        base = 3 * mesh.frame.supports[int(support)].node
        settled[int(case), base : base + 3] += move
    return settled


def combined_loading(mesh: Mesh, cases: Sequence[Case], factors: Array) -> Loading:
    """The loads of combinations (K, C) of the cases, as cases of their own; laid out some cases at a time, so that memory stays bounded."""
    some = list(blocks(len(cases), 4 * len(mesh.length))) or [slice(0, 0)]
    return _together([mixed(loading(mesh, cases[part]), factors[:, part]) for part in some])


def _together(parts: Sequence[Loading]) -> Loading:
    """Loads that act at once on the same cases."""
    total = parts[0]
    for other in parts[1:]:
        total = Loading(
            total.whole + other.whole,
            joined((total.brackets, other.brackets)),
            _sum(total.strain, other.strain),
            total.nodal + other.nodal,
            _sum(total.settled, other.settled),
        )
    return total


def _sum(one: Array | None, other: Array | None) -> Array | None:
    return one if other is None else other if one is None else one + other


def mixed(loads: Loading, factors: Array) -> Loading:
    """The loads of combinations (K, C) of the cases, as cases of their own."""
    return Loading(
        factors @ loads.whole,
        mixed_brackets(loads.brackets, factors),
        None if loads.strain is None else factors @ loads.strain,
        factors @ loads.nodal,
        None if loads.settled is None else factors @ loads.settled,
    )
