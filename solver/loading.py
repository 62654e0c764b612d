"""Loads as polynomials and brackets along the bays.

A load over a whole bay is ``q(x) = q0 + q1 x``. Anything that starts or stops inside a bay is a sum of brackets
``<x - a>^n / n!`` of order n = 1 (ramp), 0 (step), -1 (force) or -2 (moment), zero before ``a``; every integral of a bracket is the
bracket of the next order. W. H. Macaulay, Note on the deflection of beams, Messenger of Mathematics 48 (1919), from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import factorial

import numpy as np

from .faults import BadLoad, NonFinite
from .frame import Array, Case, Index, LengthChange, LineLoad, NodeLoad, PointLoad, SettlementLoad
from .mesh import STRAIGHT_MM, Mesh

SNAP_MM = 1e-7  # a load that starts or stops this close to a node does so at the node
FACTORIALS = np.array([float(factorial(k)) for k in range(7)])


@dataclass(frozen=True, slots=True)
class Brackets:
    """(T,) brackets inside bays: case, bay, place mm from the bay's start, order, and the local axial and transverse value."""

    case: Index
    bay: Index
    at: Array
    order: Index
    axial: Array
    across: Array

    def __len__(self) -> int:
        return len(self.case)


@dataclass(frozen=True, slots=True)
class Loading:
    """All cases on the mesh: (C, ...) arrays of N, mm.

    ``whole`` (2, 2, C, B): axial then transverse; q0 then q1. ``strain`` (C, B) or None. ``nodal`` (C, 3 n): forces on the
    unknowns. ``settled`` (C, 3 n) prescribed displacements, or None. ``resultant`` (C, 3): sum of forces, and of moments about ``about``.
    """

    whole: Array
    brackets: Brackets
    strain: Array | None
    nodal: Array
    settled: Array | None
    resultant: Array
    about: Array


def loading(mesh: Mesh, cases: Sequence[Case]) -> Loading:
    """Sort the loads of all cases by kind and lay them on the mesh."""
    rows = _Rows(mesh, cases)
    count, bays = len(cases), len(mesh.length)
    about = mesh.frame.xy.mean(axis=0)
    resultant = np.zeros((count, 3))
    whole, parts = np.zeros((2, 2, count, bays)), []
    if rows.line:
        parts.append(_lines(mesh, np.array(rows.line), whole, resultant, about))
    if rows.point:
        parts.append(_points(mesh, np.array(rows.point), resultant, about))
    nodal = _nodal(mesh, count, rows.node, resultant, about)
    strain = _table(rows.strain, mesh, count)
    settled = _settled(rows.settlement, mesh, count)
    return Loading(whole, _join(parts), strain, nodal, settled, resultant, about)


class _Rows:
    """Rows of numbers by kind of load, each beginning with its case."""

    __slots__ = ("line", "node", "point", "settlement", "strain")

    def __init__(self, mesh: Mesh, cases: Sequence[Case]) -> None:
        self.line: list[tuple[float, ...]] = []
        self.point: list[tuple[float, ...]] = []
        self.node: list[tuple[float, ...]] = []
        self.strain: list[tuple[float, ...]] = []
        self.settlement: list[tuple[float, ...]] = []
        pieces = len(mesh.first) - 1
        reach = (mesh.at + mesh.length)[mesh.first[1:] - 1].tolist()
        for c, case in enumerate(cases):
            for k, load in enumerate(case):
                if isinstance(load, LineLoad):
                    self.line.append((c, load.piece, load.start, load.end, *load.qx, *load.qy))
                    _check_place(c, k, load.piece, pieces, load.start, load.end, reach)
                elif isinstance(load, PointLoad):
                    self.point.append((c, load.piece, load.at, load.fx, load.fy, load.m))
                    _check_place(c, k, load.piece, pieces, load.at, load.at, reach)
                elif isinstance(load, NodeLoad):
                    self.node.append((c, load.node, load.fx, load.fy, load.m))
                    _check_node(c, k, load, mesh)
                elif isinstance(load, LengthChange):
                    self.strain.append((c, load.piece, load.strain))
                    _check_place(c, k, load.piece, pieces, 0.0, 0.0, reach)
                else:
                    self.settlement.append((c, load.support, load.x, load.y, load.rotation))
                    _check_settlement(c, k, load, mesh)
        for name in self.__slots__:
            if not np.isfinite(np.array(getattr(self, name))).all():
                raise NonFinite(f"loads ({name})")


def _check_place(case: int, load: int, piece: int, pieces: int, start: float, end: float, reach: list[float]) -> None:
    if not 0 <= piece < pieces:
        raise BadLoad(case, load, f"no piece {piece}")
    if start < -STRAIGHT_MM or end > reach[piece] + STRAIGHT_MM or end < start:
        raise BadLoad(case, load, f"{start} to {end} mm does not lie on a piece of {reach[piece]} mm")


def _check_node(case: int, load: int, given: NodeLoad, mesh: Mesh) -> None:
    if not 0 <= given.node < len(mesh.frame.xy):
        raise BadLoad(case, load, f"no node {given.node}")
    turn = 3 * given.node + 2
    if given.m and not (mesh.free[turn] or mesh.held[turn]):
        raise BadLoad(case, load, f"a moment on node {given.node}, which nothing rotates with")


def _check_settlement(case: int, load: int, given: SettlementLoad, mesh: Mesh) -> None:
    if not 0 <= given.support < len(mesh.frame.supports):
        raise BadLoad(case, load, f"no support {given.support}")
    base = 3 * mesh.frame.supports[given.support].node
    for axis, (name, value) in enumerate((("x", given.x), ("y", given.y), ("rotation", given.rotation))):
        if value and not (mesh.held[base + axis] or mesh.springs[base + axis]):
            raise BadLoad(case, load, f"support {given.support} neither holds nor springs {name}")


def _lines(mesh: Mesh, rows: Array, whole: Array, resultant: Array, about: Array) -> Brackets:
    """Cut the line loads at the nodes; add what covers a bay to ``whole`` and return the rest."""
    case, piece = rows[:, 0].astype(np.intp), rows[:, 1].astype(np.intp)
    first, counts = mesh.first[piece], mesh.first[piece + 1] - mesh.first[piece]
    row = np.repeat(np.arange(len(rows)), counts)
    bay = np.arange(len(row)) - np.repeat(np.cumsum(counts) - counts, counts) + first[row]
    base, length = mesh.at[bay], mesh.length[bay]
    begin, finish = rows[row, 2], rows[row, 3]
    start, stop = begin - base, finish - base
    start = np.where(start < SNAP_MM, 0.0, start)
    stop = np.where(stop > length - SNAP_MM, length, stop)
    on = stop - start > SNAP_MM
    if not on.all():
        row, bay, base, length = row[on], bay[on], base[on], length[on]
        begin, finish, start, stop = begin[on], finish[on], start[on], stop[on]
    slope = (rows[row, 5::2] - rows[row, 4::2]).T / (finish - begin)
    level = rows[row, 4::2].T + slope * (base + start - begin)
    case = case[row]
    c, s = mesh.cos[bay], mesh.sin[bay]
    _resultant(mesh, case, bay, start, stop, level, slope, resultant, about)
    local = np.array(((c, s), (-s, c)))
    level, slope = (local * level).sum(axis=1), (local * slope).sum(axis=1)
    full = (start == 0.0) & (stop == length)
    flat = case * len(mesh.length) + bay
    if full.all():
        _spread(whole, flat, level, slope)
        return _join([])
    _spread(whole, flat[full], level[:, full], slope[:, full])
    part = ~full
    return _partial(case[part], bay[part], start[part], stop[part], length[part], level[:, part], slope[:, part])


def _spread(whole: Array, flat: Index, level: Array, slope: Array) -> None:
    size = whole[0, 0].size
    for axis in (0, 1):
        whole[axis, 0] += np.bincount(flat, level[axis], size).reshape(whole.shape[2:])
        if slope[axis].any():
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


def _points(mesh: Mesh, rows: Array, resultant: Array, about: Array) -> Brackets:
    """Forces and moments in the span; at an inner node they stand at the start of the bay beyond it."""
    case, piece = rows[:, 0].astype(np.intp), rows[:, 1].astype(np.intp)
    first, last = mesh.first[piece], mesh.first[piece + 1] - 1
    keys = mesh.at + _lift(mesh)[mesh.piece]
    bay = np.searchsorted(keys, rows[:, 2] + _lift(mesh)[piece], side="right") - 1
    bay = np.clip(bay, first, last)
    at = np.clip(rows[:, 2] - mesh.at[bay], 0.0, mesh.length[bay])
    fx, fy, m = rows[:, 3:].T
    c, s = mesh.cos[bay], mesh.sin[bay]
    x, y = _start(mesh, bay, about)
    x, y = x + c * at, y + s * at
    np.add.at(resultant, case, np.array((fx, fy, x * fy - y * fx + m)).T)
    force = np.full(len(case), -1, dtype=np.intp)
    brackets = [Brackets(case, bay, at, force, c * fx + s * fy, c * fy - s * fx)]
    turn = m != 0.0
    if turn.any():
        zero = np.zeros(int(turn.sum()))
        brackets.append(Brackets(case[turn], bay[turn], at[turn], force[turn] - 1, zero, -m[turn]))
    return _join(brackets)


def _lift(mesh: Mesh) -> Array:
    """(P,) places on successive pieces made increasing, so that one search finds the bay on any piece."""
    reach = (mesh.at + mesh.length)[mesh.first[1:] - 1] + 4.0 * STRAIGHT_MM
    return np.asarray(np.cumsum(reach) - reach)


def _start(mesh: Mesh, bay: Index, about: Array) -> Array:
    """(2, k) start of the bays, from ``about``."""
    return np.asarray(mesh.start[:, bay] - about[:, None])


def _resultant(
    mesh: Mesh, case: Index, bay: Index, start: Array, stop: Array, level: Array, slope: Array, resultant: Array, about: Array
) -> None:
    """Add the sum of force and moment of trapezoids; their own moment is that of area and first moment of area."""
    run = stop - start
    force = run * (level + 0.5 * run * slope)
    first = run * run * (0.5 * level + run / 3.0 * slope)
    c, s = mesh.cos[bay], mesh.sin[bay]
    x, y = _start(mesh, bay, about)
    x, y = x + c * start, y + s * start
    moment = x * force[1] - y * force[0] + c * first[1] - s * first[0]
    for axis, part in enumerate((force[0], force[1], moment)):
        resultant[:, axis] += np.bincount(case, part, len(resultant))


def _nodal(mesh: Mesh, count: int, rows: list[tuple[float, ...]], resultant: Array, about: Array) -> Array:
    nodal = np.zeros((count, len(mesh.free)))
    if not rows:
        return nodal
    given = np.array(rows)
    case, node = given[:, 0].astype(np.intp), given[:, 1].astype(np.intp)
    fx, fy, m = given[:, 2:].T
    x, y = (mesh.frame.xy[node] - about).T
    np.add.at(resultant, case, np.array((fx, fy, x * fy - y * fx + m)).T)
    for axis, part in enumerate((fx, fy, m)):
        np.add.at(nodal, (case, 3 * node + axis), part)
    return onto_unknowns(mesh, nodal)


def onto_unknowns(mesh: Mesh, forces: Array) -> Array:
    """Forces (C, 3 n) at the nodes in global axes as forces on the unknowns, in place."""
    if mesh.stands is not None:
        node, shift = mesh.stands
        forces[:, 3 * node + 2] += shift[:, 1] * forces[:, 3 * node] - shift[:, 0] * forces[:, 3 * node + 1]
    if mesh.turned is not None:
        node, c, s = mesh.turned
        fx, fy = forces[:, 3 * node], forces[:, 3 * node + 1]
        forces[:, 3 * node], forces[:, 3 * node + 1] = c * fx + s * fy, c * fy - s * fx
    return forces


def _table(rows: list[tuple[float, ...]], mesh: Mesh, count: int) -> Array | None:
    if not rows:
        return None
    table = np.zeros((count, len(mesh.first) - 1))
    for case, piece, strain in rows:
        table[int(case), int(piece)] += strain
    return np.asarray(table[:, mesh.piece])


def _settled(rows: list[tuple[float, ...]], mesh: Mesh, count: int) -> Array | None:
    if not rows:
        return None
    settled = np.zeros((count, len(mesh.free)))
    for case, support, *move in rows:
        base = 3 * mesh.frame.supports[int(support)].node
        settled[int(case), base : base + 3] += move
    return settled


def mixed(loads: Loading, factors: Array) -> Loading:
    """The loads of combinations (K, C) of the cases, as cases of their own."""
    given = loads.brackets
    row, which = np.nonzero(factors[:, given.case])
    scale = factors[row, given.case[which]]
    brackets = Brackets(row, given.bay[which], given.at[which], given.order[which], scale * given.axial[which], scale * given.across[which])
    return Loading(
        np.einsum("kc,dmcb->dmkb", factors, loads.whole, optimize=True),
        brackets,
        None if loads.strain is None else factors @ loads.strain,
        factors @ loads.nodal,
        None if loads.settled is None else factors @ loads.settled,
        factors @ loads.resultant,
        loads.about,
    )


def _join(parts: list[Brackets]) -> Brackets:
    if not parts:
        none, empty = np.zeros(0, dtype=np.intp), np.zeros(0)
        return Brackets(none, none, empty, none, empty, empty)
    return Brackets(
        np.concatenate([p.case for p in parts]),
        np.concatenate([p.bay for p in parts]),
        np.concatenate([p.at for p in parts]),
        np.concatenate([p.order for p in parts]),
        np.concatenate([p.axial for p in parts]),
        np.concatenate([p.across for p in parts]),
    )


def bracket(distance: Array, power: Index) -> Array:
    """``<x - a>^p / p!`` from ``distance`` = x - a; zero before ``a`` and for p < 0; one at ``a`` for p = 0."""
    reach = np.maximum(distance, 0.0)
    order = np.maximum(power, 0)
    return np.where((distance >= 0.0) & (power >= 0), reach**order / FACTORIALS[order], 0.0)
