"""How bays hang on the unknowns: what forces of bays come to there, and what bays feel when the unknowns move.

Small frames keep it as one full matrix, so that each way is one product; larger ones go bay by bay.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

import numpy as np

from .elements import Elements
from .frame import Array, Index
from .mesh import Mesh

BLOCK = 100_000  # numbers worked on at a stretch


class Incidence(Protocol):
    """Between forces against the rows of the elements, or movements along them, and the unknowns."""

    def onto(self, forces: Array) -> Array:
        """(C, 3 n) forces on the unknowns, of forces (r, C, B) against the first r rows of the elements."""
        ...

    def stress(self, moved: Array) -> Array:
        """(3, C, B) basic forces that movements (C, 3 n) call for."""
        ...

    def place(self, moved: Array) -> Array:
        """(4, C, B) movements u, w of the start and of the end of every bay."""
        ...


class Full:
    """As one matrix (10, B, 3 n): the rows of the elements, then the basic forces."""

    __slots__ = ("_rows",)

    def __init__(self, mesh: Mesh, parts: Elements) -> None:
        bays, unknowns = len(mesh.length), len(mesh.free)
        place = mesh.unknowns + np.arange(0, bays * unknowns, unknowns)
        rows = np.zeros((10, bays * unknowns))
        rows[:7, place] = parts.rows
        rows[7:, place] = parts.reads[:3]
        self._rows = rows.reshape(-1, unknowns)

    def _some(self, first: int, last: int) -> Array:
        """Rows of the matrix, all bays of each."""
        bays = len(self._rows) // 10
        return self._rows[first * bays : last * bays]

    def onto(self, forces: Array) -> Array:
        """See :class:`Incidence`."""
        count, cases, bays = forces.shape
        return np.asarray(forces.swapaxes(0, 1).reshape(cases, count * bays) @ self._some(0, count))

    def stress(self, moved: Array) -> Array:
        """See :class:`Incidence`."""
        return _by_row(moved @ self._some(7, 10).T, 3)

    def place(self, moved: Array) -> Array:
        """See :class:`Incidence`."""
        return _by_row(moved @ self._some(3, 7).T, 4)

    def stiffness(self) -> Array:
        """(3 n, 3 n) stiffness of the bays."""
        return np.asarray(self._some(0, 3).T @ self._some(7, 10))


def _by_row(values: Array, rows: int) -> Array:
    return np.asarray(values.reshape(len(values), rows, values.shape[1] // rows).swapaxes(0, 1))


class Scattered:
    """Bay by bay."""

    __slots__ = ("_mesh", "_parts")

    def __init__(self, mesh: Mesh, parts: Elements) -> None:
        self._mesh, self._parts = mesh, parts

    def onto(self, forces: Array) -> Array:
        """See :class:`Incidence`."""
        return gather(self._mesh, against(self._parts.rows[: len(forces)], forces))

    def stress(self, moved: Array) -> Array:
        """See :class:`Incidence`."""
        return self._felt(self._parts.stress, moved)

    def place(self, moved: Array) -> Array:
        """See :class:`Incidence`."""
        return self._felt(self._parts.place, moved)

    def _felt(self, rows: Array, moved: Array) -> Array:
        unknowns = self._mesh.unknowns
        found = np.empty((len(rows), len(moved), unknowns.shape[1]))
        for some in blocks(len(moved), unknowns.size):
            np.einsum("rab,cab->rcb", rows, moved[some].take(unknowns, axis=1), out=found[:, some])
        return found


def against(rows: Array, forces: Array) -> Array:
    """(C, 6, B) forces against the unknowns, of forces (r, C, B) against rows (r, 6, B)."""
    found = np.empty((forces.shape[1], *rows.shape[1:]))
    for some in blocks(len(found), rows[0].size):
        np.einsum("rab,rcb->cab", rows, forces[:, some], out=found[some])
    return found


def gather(mesh: Mesh, ends: Array) -> Array:
    """Sum (C, 6, B) forces at the bays' ends onto the unknowns (C, 3 n)."""
    count, unknowns = len(ends), len(mesh.free)
    place = np.arange(0, count * unknowns, unknowns)[:, None, None] + mesh.unknowns
    return summed(place.ravel(), ends, count * unknowns).reshape(count, unknowns)


def summed(place: Index, parts: Array, size: int) -> Array:
    """(size,) sums of parts that share a place."""
    return np.bincount(place, parts.ravel(), size).astype(np.float64, copy=False)


def blocks(count: int, size: int) -> Iterator[slice]:
    """Slices of ``count`` rows of ``size`` numbers that stay in the processor's cache and never take long at a stretch."""
    step = max(1, BLOCK // size)
    return (slice(k, k + step) for k in range(0, count, step))
