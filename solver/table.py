"""Rows of answers: forces and movements along every piece, for load cases and for combinations of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from .frame import Array, Flags, Index
from .layout import Layout
from .mesh import Mesh

FORCES, MOVEMENTS = range(2)  # blocks of lines


class Rows(Protocol):
    """Answers to mix: lines at the stations, ``moved`` (rows, 3 n) and ``pushed`` (rows, supports, 3)."""

    @property
    def moved(self) -> Array: ...
    @property
    def pushed(self) -> Array: ...
    def block(self, which: int, factors: Array | None) -> Array:
        """(3, rows, S) N, V, M or (2, rows, S) displacements along and across the bay, as they stand or mixed by factors (K, rows)."""
        ...


class Table:
    """Rows of answers: C load cases or K combinations. N, mm; N tension positive, M positive where the piece sags read from its
    first node, V = dM/dx; displacements and reactions in global axes. Each is worked out when it is first asked for.

    Made of ``count`` answers: ``rows`` mixed by ``factors``, or the first of them as they stand.
    """

    def __init__(self, layout: Layout, rows: Rows, factors: Array | None, count: int) -> None:
        self.layout = layout
        self._rows, self._factors, self._count = rows, factors, count

    def __len__(self) -> int:
        return self._count

    @cached_property
    def _forces(self) -> Array:
        return self._rows.block(FORCES, self._factors)[:, : self._count]

    @cached_property
    def _movements(self) -> Array:
        return self._rows.block(MOVEMENTS, self._factors)[:, : self._count]

    def block(self, which: int) -> Array:
        """(3, rows, S) N, V, M or (2, rows, S) displacements along and across the bays."""
        return self._forces if which == FORCES else self._movements

    @property
    def n(self) -> Array:
        """(rows, S) axial force, N, tension positive."""
        return np.asarray(self._forces[0])

    @property
    def v(self) -> Array:
        """(rows, S) shear force dM/dx, N."""
        return np.asarray(self._forces[1])

    @property
    def m(self) -> Array:
        """(rows, S) bending moment, N mm, sagging positive."""
        return np.asarray(self._forces[2])

    @property
    def across(self) -> Array:
        """(rows, S) displacement square to the bay, along its own y axis, mm."""
        return np.asarray(self._movements[1])

    @cached_property
    def ux(self) -> Array:
        """(rows, S) displacement of the axis to the right, mm."""
        c, s = self.layout.mesh.way.take(self.layout.number, axis=1)
        return self._turned(c, -s)

    @cached_property
    def uy(self) -> Array:
        """(rows, S) displacement of the axis upwards, mm."""
        c, s = self.layout.mesh.way.take(self.layout.number, axis=1)
        return self._turned(s, c)

    def _turned(self, of_along: Array, of_across: Array) -> Array:
        along, across = self._movements
        turned = along * of_along
        turned += across * of_across
        return np.asarray(turned)

    @cached_property
    def moved(self) -> Array:
        """(rows, 3 n) displacements of the unknowns: see :class:`solver.mesh.Mesh`."""
        return mixed(self._factors, self._rows.moved)[: self._count]

    @cached_property
    def displacements(self) -> Array:
        """(rows, nodes, 3) mm, mm, rad of the nodes; a node that nothing rotates with has rotation 0."""
        return _at_nodes(self.layout.mesh, self.moved.reshape(len(self), len(self.layout.mesh.xy), 3))

    @cached_property
    def reactions(self) -> Array:
        """(rows, supports, 3) N, N, N mm on the structure, about the point where the reaction stands."""
        return mixed(self._factors, self._rows.pushed)[: self._count]

    def rows(self, which: slice | Index) -> Table:
        """Some of the rows, as a table."""
        return Table(self.layout, Chosen(self, which), None, len(np.arange(len(self))[which]))

    def with_forces(self, n: Array, v: Array, m: Array) -> Table:
        """The same rows, movements and reactions with other forces (rows, S) along the pieces, N and N mm."""
        lines = np.concatenate((np.stack((n, v, m)), self._movements))
        return Table(self.layout, Stored(lines, self.moved, self.reactions), None, len(self))


class Combined(Table):
    """Combinations. ``lifted`` (K, supports): the push-only bearing has let go."""

    def __init__(self, layout: Layout, rows: Rows, factors: Array | None, lifted: Flags) -> None:
        super().__init__(layout, rows, factors, len(lifted))
        self.lifted = lifted


@dataclass(frozen=True, slots=True)
class Chosen:
    """Some rows of a table."""

    table: Table
    which: slice | Index

    @property
    def moved(self) -> Array:
        """See :class:`Rows`."""
        return np.asarray(self.table.moved[self.which])

    @property
    def pushed(self) -> Array:
        """See :class:`Rows`."""
        return np.asarray(self.table.reactions[self.which])

    def block(self, which: int, factors: Array | None) -> Array:
        """See :class:`Rows`."""
        block = self.table.block(which)[:, self.which]
        return block if factors is None else np.asarray(factors @ block)


@dataclass(frozen=True, slots=True)
class Stored:
    """Rows worked out already: ``lines`` (5, rows, S), ``moved`` (rows, 3 n), ``pushed`` (rows, supports, 3)."""

    lines: Array
    moved: Array
    pushed: Array

    def block(self, which: int, factors: Array | None) -> Array:
        """See :class:`Rows`."""
        return block_of(self.lines, which, factors)


def block_of(lines: Array, which: int, factors: Array | None) -> Array:
    """One block of all lines (5, rows, S), as it stands or mixed by factors (K, rows)."""
    block = lines[:3] if which == FORCES else lines[3:]
    return block if factors is None else np.asarray(factors @ block)


def mixed(factors: Array | None, part: Array) -> Array:
    """Rows (rows, ...) mixed by factors (K, rows), or as they stand."""
    return part if factors is None else (factors @ part.reshape(len(part), -1)).reshape(len(factors), *part.shape[1:])


def _at_nodes(mesh: Mesh, moved: Array) -> Array:
    """Unknowns (C, n, 3) as displacements of the nodes in global axes."""
    moved = moved.copy()
    if mesh.turned is not None:
        node, c, s = mesh.turned
        along, across = moved[:, node, 0], moved[:, node, 1]
        moved[:, node, 0], moved[:, node, 1] = c * along - s * across, s * along + c * across
    if mesh.stands is not None:
        node, shift = mesh.stands
        turn = moved[:, node, 2]
        moved[:, node, 0] += turn * shift[:, 1]
        moved[:, node, 1] -= turn * shift[:, 0]
    return moved
