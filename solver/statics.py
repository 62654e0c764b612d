"""Stiffness equations of a mesh: assembled once, factored once, solved for any number of right-hand sides.

Small frames are dense in natural order; larger ones are banded, numbered along the frame; very large wide ones go to a sparse
factorisation. The pivots say whether the frame may be loose; the strain energy of its softest movement decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from scipy.linalg import lapack
from scipy.sparse import csc_array, diags_array
from scipy.sparse.csgraph import reverse_cuthill_mckee
from scipy.sparse.linalg import splu

from .elements import Elements
from .frame import Array, Index
from .incidence import Full, Incidence, Scattered, summed
from .loading import Loading, onto_unknowns
from .mesh import Mesh

DENSE_UNKNOWNS = 65  # up to here dense in natural order is faster than banded (measured, see tests/bench)
BAND_WORK = 1e9  # unknowns x bandwidth² above which the sparse factorisation wins, or a band takes long at a stretch
FEW_BAYS = 60  # up to here one full matrix between bays and unknowns is quicker than bay by bay
SOLVE_WORK = 2e7  # numbers of a band times right-hand sides at a stretch
AT_ONCE = 4  # right-hand sides solved in one call of the sparse library, which nothing can interrupt


class Factor(Protocol):
    """A factored stiffness matrix of m unknowns. ``diagonal`` (m,): as it was; ``pivots`` (m,): each pivot over its diagonal term."""

    @property
    def diagonal(self) -> Array:
        """See the class."""
        ...

    @property
    def pivots(self) -> Array:
        """See the class."""
        ...

    def solve(self, right: Array) -> Array:
        """Solve for right-hand sides (k, m); returns (k, m)."""
        ...


@dataclass(frozen=True)
class Numbering:
    """``order`` (m,): unknown of each equation. ``touched`` (6, B): equation of each unknown of each bay; unknowns that are prescribed or
    absent share the last, ``size``. ``width``: equations joined are at most this far apart.
    """

    order: Index
    touched: Index
    size: int
    width: int

    @cached_property
    def square(self) -> Index:
        """Places of the element stiffnesses in a full matrix with one row and column to spare."""
        return np.asarray((self.touched[:, None] * (self.size + 1) + self.touched).ravel())

    @cached_property
    def band(self) -> Index:
        """The same in the band below the diagonal, stored by columns; what is not in it goes to one place behind."""
        depth = self.width + 1
        below = self.touched[:, None] - self.touched
        live = (below >= 0) & (self.touched[:, None] < self.size)
        return np.asarray(np.where(live, self.touched * depth + below, self.size * depth).ravel())


@dataclass(frozen=True, slots=True)
class Dense:
    """Cholesky of a full matrix with the diagonal given."""

    lower: Array
    diagonal: Array

    @property
    def pivots(self) -> Array:
        """See :class:`Factor`."""
        return np.asarray(self.lower.diagonal() ** 2 / self.diagonal)

    def solve(self, right: Array) -> Array:
        answer, _ = lapack.dpotrs(self.lower, right.T, lower=1)
        return np.asarray(answer.T)


@dataclass(frozen=True, slots=True)
class Banded:
    """Cholesky of a band, stored by columns below the diagonal, with the diagonal given."""

    lower: Array
    diagonal: Array

    @property
    def pivots(self) -> Array:
        """See :class:`Factor`."""
        return np.asarray(self.lower[0] ** 2 / self.diagonal)

    def solve(self, right: Array) -> Array:
        step = max(1, int(SOLVE_WORK) // self.lower.size)
        if len(right) <= step:
            return np.asarray(lapack.dpbtrs(self.lower, right.T, lower=1)[0].T)
        return np.concatenate([self.solve(right[k : k + step]) for k in range(0, len(right), step)])


class Sparse:
    """Sparse triangular factors."""

    __slots__ = ("_solve", "diagonal", "pivots")

    def __init__(self, matrix: csc_array) -> None:
        factors = splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
        self._solve = factors.solve
        self.diagonal = matrix.diagonal()
        self.pivots = factors.U.diagonal() / self.diagonal[np.argsort(factors.perm_c)]

    def solve(self, right: Array) -> Array:
        answer = np.empty(right.shape)
        for k in range(0, len(right), AT_ONCE):
            answer[k : k + AT_ONCE] = self._solve(np.ascontiguousarray(right[k : k + AT_ONCE].T)).T
        return answer


def numbering(mesh: Mesh) -> Numbering:
    """Equations in natural order for small frames, else along the frame, else by reverse Cuthill–McKee where that is narrower."""
    size = int(np.count_nonzero(mesh.free))
    if size <= DENSE_UNKNOWNS:
        return _numbered(mesh, np.flatnonzero(mesh.free), size, dense=True)
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
    rows = np.full(len(mesh.free), size)
    rows[order] = np.arange(size)
    touched = rows[mesh.unknowns]
    if dense:
        return Numbering(order, touched, size, size)
    high = np.where(touched < size, touched, -1).max(axis=0)
    return Numbering(order, touched, size, int(max((high - touched.min(axis=0)).max(), 0)))


def factor_whole(mesh: Mesh, numbers: Numbering, stiffness: Array) -> Factor | None:
    """Factor the stiffness (3 n, 3 n) of all bays plus the support springs; None when a pivot vanishes or turns negative."""
    order = numbers.order
    return _dense(stiffness.take(order, axis=0).take(order, axis=1), None if mesh.springs is None else mesh.springs[order])


def factor(mesh: Mesh, numbers: Numbering, stiffness: Array) -> Factor | None:
    """Factor element stiffnesses (6, 6, B) plus the support springs; None when a pivot vanishes or turns negative."""
    return next(factors_of(mesh, numbers, stiffness[None]))


def factors_of(mesh: Mesh, numbers: Numbering, stiffness: Array) -> Iterator[Factor | None]:
    """As :func:`factor`, of many stiffnesses (k, 6, 6, B) of one mesh, scattered together."""
    if not numbers.size:
        return (Dense(np.zeros((0, 0)), np.ones(0)) for _ in stiffness)
    springs = None if mesh.springs is None else mesh.springs[numbers.order]
    if numbers.size <= DENSE_UNKNOWNS:
        side = numbers.size + 1
        full = _scattered(numbers.square, stiffness, side * side).reshape(-1, side, side)
        return (_dense(np.array(matrix[:-1, :-1]), springs) for matrix in full)
    if float(numbers.size) * numbers.width**2 <= BAND_WORK:
        size, depth = numbers.size, numbers.width + 1
        packed = _scattered(numbers.band, stiffness, size * depth + 1)[:, :-1].reshape(-1, size, depth)
        return (_banded(band, springs) for band in packed)
    return (_sparse(mesh, numbers, one) for one in stiffness)


def _scattered(places: Index, parts: Array, size: int) -> Array:
    """(k, size) sums of parts (k, ...) at places."""
    count = len(parts)
    if count > 1:
        places = np.arange(0, count * size, size)[:, None] + places
    return summed(places.ravel(), parts, count * size).reshape(count, size)


def assembled(numbers: Numbering, parts: Array) -> csc_array:
    """Element matrices (6, 6, B) as one sparse matrix (m, m), without springs."""
    touched, shape = numbers.touched, parts.shape
    row, column = np.broadcast_to(touched[:, None], shape).ravel(), np.broadcast_to(touched[None], shape).ravel()
    whole = csc_array((parts.ravel(), (row, column)), shape=(numbers.size + 1, numbers.size + 1))
    return csc_array(whole[: numbers.size, : numbers.size])


def with_springs(mesh: Mesh, numbers: Numbering, matrix: csc_array) -> csc_array:
    """A matrix (m, m) with the springs of the supports added."""
    return matrix if mesh.springs is None else csc_array(matrix + diags_array(mesh.springs[numbers.order]))


def _dense(matrix: Array, springs: Array | None) -> Factor | None:
    """Of a full matrix, in place."""
    if springs is not None:
        matrix.ravel()[:: len(matrix) + 1] += springs
    diagonal = matrix.diagonal().copy()
    lower, bad = lapack.dpotrf(matrix.T, lower=1, clean=0, overwrite_a=1)
    return None if bad else Dense(lower, diagonal)


def _banded(packed: Array, springs: Array | None) -> Factor | None:
    """Of a band (m, depth) below the diagonal, in place."""
    if springs is not None:
        packed[:, 0] += springs
    diagonal = packed[:, 0].copy()
    lower, bad = lapack.dpbtrf(packed.T, lower=1, overwrite_ab=1)
    return None if bad else Banded(lower, diagonal)


def _sparse(mesh: Mesh, numbers: Numbering, stiffness: Array) -> Factor | None:
    matrix = with_springs(mesh, numbers, assembled(numbers, stiffness))
    try:
        found = Sparse(matrix)
    except RuntimeError:  # exactly singular
        return None
    return found if found.pivots.min() > 0.0 else None


@dataclass(frozen=True, slots=True)
class Equations:
    """Everything about the left-hand side: the mesh, its elements, how they hang on the unknowns, the numbering and the factor."""

    mesh: Mesh
    elements: Elements
    hung: Incidence
    numbers: Numbering
    factor: Factor

    def displace(self, loads: Loading, held: Array) -> Array:
        """Unknowns (C, 3 n) mm, rad under loads whose forces on bays that cannot move are ``held`` (7, C, B)."""
        mesh, order = self.mesh, self.numbers.order
        forces = -self.missing(loads, held)
        answer = np.zeros(forces.shape)
        if loads.settled is not None:
            answer[:, mesh.held] = loads.settled[:, mesh.held]
            forces -= self.hung.onto(self.hung.stress(answer))
            if mesh.springs is not None:
                forces += mesh.springs * loads.settled
        if self.numbers.size:
            answer[:, order] = self.factor.solve(forces.take(order, axis=1))
        return answer

    def missing(self, loads: Loading, forces: Array) -> Array:
        """(C, 3 n) what forces (7, C, B) of the bays come to, less the loads on the nodes: what the supports give."""
        return self.hung.onto(forces) - onto_unknowns(self.mesh, loads.nodal)


def hung(mesh: Mesh, parts: Elements, numbers: Numbering) -> Full | Scattered:
    """How the bays hang on the unknowns, in the form that is quick for their number."""
    return Full(mesh, parts) if numbers.size <= DENSE_UNKNOWNS and len(mesh.length) <= FEW_BAYS else Scattered(mesh, parts)
