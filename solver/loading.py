"""Loads laid on the bays: a polynomial ``q(x) = q0 + q1 x`` where a load covers the bay, brackets where it starts, stops or stands inside."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from .brackets import Brackets, joined, mixed_brackets
from .frame import Array, Case
from .incidence import blocks
from .kinds import Rows
from .mesh import Mesh
from .spans import laid, points


class Loading(NamedTuple):
    """All cases on the mesh, (C, ...) arrays of N, mm in global axes but for the brackets, which are in those of the bays.

    ``even`` (C, 2, B): x and y of q0 L, of what covers the bay; ``ramp`` (C, 2, B): of q1 L², or None. ``strain`` (C, B) or None.
    ``nodal`` (C, 3 n): forces on the nodes. ``settled`` (C, 3 n) prescribed displacements, or None.
    """

    even: Array
    ramp: Array | None
    brackets: Brackets
    strain: Array | None
    nodal: Array
    settled: Array | None


def loading(mesh: Mesh, cases: Sequence[Case]) -> Loading:
    """Sort the loads of all cases by kind and lay them on the mesh."""
    rows, count = Rows(mesh, cases), len(cases)
    even, ramp, parts = np.frombuffer(rows.even).reshape(count, 2, len(mesh.reach)).take(mesh.piece, axis=2), None, []
    even *= mesh.length
    if rows.line:
        ramp, rest = laid(mesh, rows.table("line"), even)
        parts.append(rest)
    if rows.point:
        parts.append(points(mesh, rows.table("point")))
    strain = _strains(rows, mesh, count) if rows.strain else None
    settled = _settled(rows, mesh, count) if rows.settlement else None
    return Loading(even, ramp, joined(parts), strain, np.frombuffer(rows.node).reshape(count, len(mesh.free)), settled)


def _strains(rows: Rows, mesh: Mesh, count: int) -> Array:
    strains = np.zeros((count, len(mesh.length)))
    for case, bay, strain in rows.table("strain").tolist():
        strains[int(case), int(bay)] += strain
    return strains


def _settled(rows: Rows, mesh: Mesh, count: int) -> Array:
    settled = np.zeros((count, len(mesh.free)))
    for case, support, *move in rows.table("settlement").tolist():
        base = 3 * mesh.supports[int(support)].node
        settled[int(case), base : base + 3] += move
    return settled


def onto_unknowns(mesh: Mesh, forces: Array) -> Array:
    """Forces (C, 3 n) at the nodes in global axes as forces on the unknowns."""
    if mesh.stands is None and mesh.turned is None:
        return forces
    forces = forces.copy()
    if mesh.stands is not None:
        node, shift = mesh.stands
        forces[:, 3 * node + 2] += shift[:, 1] * forces[:, 3 * node] - shift[:, 0] * forces[:, 3 * node + 1]
    return onto_axes(mesh, forces)


def onto_axes(mesh: Mesh, forces: Array) -> Array:
    """Forces (C, 3 n) on the nodes turned into the axes of inclined supports, in place."""
    if mesh.turned is not None:
        node, c, s = mesh.turned
        fx, fy = forces[:, 3 * node], forces[:, 3 * node + 1]
        forces[:, 3 * node], forces[:, 3 * node + 1] = c * fx + s * fy, c * fy - s * fx
    return forces


def combined_loading(mesh: Mesh, cases: Sequence[Case], factors: Array) -> Loading:
    """The loads of combinations (K, C) of the cases, as cases of their own; laid out some cases at a time, so that memory stays bounded."""
    some = list(blocks(len(cases), 4 * len(mesh.length))) or [slice(0, 0)]
    return _together([mixed(loading(mesh, cases[part]), factors[:, part]) for part in some])


def _together(parts: Sequence[Loading]) -> Loading:
    """Loads that act at once on the same cases."""
    total = parts[0]
    for other in parts[1:]:
        total = Loading(
            total.even + other.even,
            _sum(total.ramp, other.ramp),
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
        _mixed(loads.even, factors),
        None if loads.ramp is None else _mixed(loads.ramp, factors),
        mixed_brackets(loads.brackets, factors),
        None if loads.strain is None else factors @ loads.strain,
        factors @ loads.nodal,
        None if loads.settled is None else factors @ loads.settled,
    )


def _mixed(part: Array, factors: Array) -> Array:
    count, axes, bays = part.shape
    return np.asarray((factors @ part.reshape(count, axes * bays)).reshape(-1, axes, bays))
