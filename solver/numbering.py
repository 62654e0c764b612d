"""Equations numbered so that those joined stand close together."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.sparse import csc_array
from scipy.sparse.csgraph import reverse_cuthill_mckee

from .frame import Index
from .mesh import Mesh
from .patterns import FIRST, SECOND

DENSE_UNKNOWNS = 130  # up to here dense in natural order is faster than banded, numbering included (measured, see tests/bench)
DENSE_OFTEN = 65  # and where one numbering serves many factorisations


class Numbering(NamedTuple):
    """``order`` (m,): unknown of each equation. ``rows`` (3 n,): equation of each unknown, ``touched`` (6, B) of each of every bay; unknowns that are
    prescribed or absent share the last, ``size``. ``width``: equations joined are at most this far apart.
    """

    order: Index
    rows: Index
    touched: Index
    size: int
    width: int

    def lower(self) -> tuple[Index, Index]:
        """(21, B) row and column, below the diagonal, of each of :data:`PAIRS`."""
        one, other = self.touched.take(FIRST, axis=0), self.touched.take(SECOND, axis=0)
        return np.maximum(one, other), np.minimum(one, other)


def numbering(mesh: Mesh, dense: int = DENSE_UNKNOWNS) -> Numbering:
    """Equations in natural order up to ``dense``, else along the frame, else by reverse Cuthill–McKee where that is narrower."""
    order = mesh.free.nonzero()[0]
    size = len(order)
    if size <= dense:
        return _numbered(mesh, order, size, dense=True)
    width, height = np.maximum.reduce(mesh.xy) - np.minimum.reduce(mesh.xy)
    along = int(height > width)
    best = _numbered(mesh, _free(mesh, np.argsort(mesh.xy[:, along], kind="stable")), size)
    if best.width * best.width <= 9 * size:
        return best
    nodes = len(mesh.xy)
    graph = csc_array((np.ones(len(mesh.length)), (mesh.ends[0], mesh.ends[1])), shape=(nodes, nodes))
    other = _numbered(mesh, _free(mesh, reverse_cuthill_mckee((graph + graph.T).tocsr(), symmetric_mode=True)), size)
    return min(best, other, key=lambda numbered: numbered.width)


def _free(mesh: Mesh, nodes: Index) -> Index:
    """Unknowns to be solved for, node by node."""
    sequence = (3 * nodes[:, None] + np.arange(3)).ravel()
    return np.asarray(sequence[mesh.free[sequence]])


def _numbered(mesh: Mesh, order: Index, size: int, dense: bool = False) -> Numbering:
    rows = np.empty(len(mesh.free), dtype=np.intp)
    rows.fill(size)
    rows[order] = np.arange(size)
    touched = rows.take(mesh.unknowns)
    if dense:
        return Numbering(order, rows, touched, size, size)
    high = np.where(touched < size, touched, -1).max(axis=0)
    return Numbering(order, rows, touched, size, int(max((high - touched.min(axis=0)).max(), 0)))
