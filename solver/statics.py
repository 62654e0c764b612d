"""Stiffness equations of a mesh: assembled once, factored once, solved for any number of right-hand sides.

Small frames are dense in natural order; larger ones are banded, numbered along the frame; very large wide ones go to a sparse
factorisation. The pivots say whether the frame may be loose; the strain energy of its softest movement decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple, Protocol

import numpy as np
from scipy.linalg import lapack
from scipy.sparse import csc_array, diags_array
from scipy.sparse.linalg import splu

from .elements import Elements
from .frame import Array, Index
from .incidence import against, felt, gather, summed
from .mesh import Mesh
from .numbering import DENSE_UNKNOWNS, Numbering
from .patterns import PAIRS, SQUARE

BAND_WORK = 1e9  # unknowns x bandwidth² above which the sparse factorisation wins, or a band takes long at a stretch
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


class Dense(NamedTuple):
    """Cholesky of a full matrix with the diagonal given."""

    lower: Array
    diagonal: Array

    @property
    def pivots(self) -> Array:
        """See :class:`Factor`."""
        steps = self.lower.diagonal()
        return np.asarray(steps * steps / self.diagonal)

    def solve(self, right: Array) -> Array:
        return np.asarray(lapack.dpotrs(self.lower, right.T, lower=1)[0].T)


class Banded(NamedTuple):
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


def factor(mesh: Mesh, numbers: Numbering, stiffness: Array) -> Factor | None:
    """Factor element stiffnesses (6, 6, B) plus the support springs; None when a pivot vanishes or turns negative."""
    return next(factors_of(mesh, numbers, stiffness[None]))


def factors_of(mesh: Mesh, numbers: Numbering, stiffness: Array) -> Iterator[Factor | None]:
    """As :func:`factor`, of many stiffnesses (k, 6, 6, B) of one mesh, scattered together."""
    return factors_of_pairs(mesh, numbers, stiffness.reshape(len(stiffness), 36, -1).take(PAIRS, axis=1))


def factors_of_pairs(mesh: Mesh, numbers: Numbering, stiffness: Array) -> Iterator[Factor | None]:
    """As :func:`factors_of`, from the stiffnesses (k, 21, B) of each of :data:`solver.patterns.PAIRS`."""
    size = numbers.size
    if not size:
        return (Dense(np.zeros((0, 0)), np.ones(0)) for _ in stiffness)
    springs = None if mesh.springs is None else mesh.springs[numbers.order]
    if size <= DENSE_UNKNOWNS and (len(stiffness) == 1 or numbers.width == size):
        return (_dense(matrix, springs) for matrix in _scattered(_in_square(numbers), stiffness, size, size))
    if float(size) * numbers.width**2 <= BAND_WORK:
        return (_banded(band, springs) for band in _scattered(_in_band(numbers), stiffness, size, numbers.width + 1))
    return (_sparse(mesh, numbers, one) for one in stiffness)


def _in_square(numbers: Numbering) -> Index:
    """(21, B) places of :data:`PAIRS` below the diagonal of a full matrix stored by columns; what has no equation falls above the diagonal, where
    nobody looks, or behind the last column."""
    row, column = numbers.lower()
    return np.asarray(column * numbers.size + row)


def _in_band(numbers: Numbering) -> Index:
    """The same in a band below the diagonal, stored by columns; what has no equation falls behind it."""
    row, column = numbers.lower()
    return np.where(row < numbers.size, column * numbers.width + row, numbers.size * (numbers.width + 1))


def _scattered(places: Index, parts: Array, size: int, depth: int) -> Array:
    """(k, size, depth) matrices by columns: sums of parts (k, 21, B) at places (21, B), less what falls behind."""
    count, whole = len(parts), size * depth
    if count > 1:
        places = np.arange(0, count * (whole + size + 1), whole + size + 1)[:, None, None] + places
    return summed(places.ravel(), parts, count * (whole + size + 1)).reshape(count, -1)[:, :whole].reshape(count, size, depth)


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
    matrix = with_springs(mesh, numbers, assembled(numbers, stiffness.take(SQUARE, axis=0)))
    try:
        found = Sparse(matrix)
    except RuntimeError:  # exactly singular
        return None
    return found if found.pivots.min() > 0.0 else None


class Equations(NamedTuple):
    """Everything about the left-hand side: the mesh, its elements, the numbering and the factor."""

    mesh: Mesh
    elements: Elements
    numbers: Numbering
    factor: Factor

    def displace(self, called: Array, settled: Array | None) -> Array:
        """Unknowns (C, 3 n) mm, rad under forces ``called`` (C, 3 n) on them, those that supports hold being ``settled`` (C, 3 n)."""
        mesh, order = self.mesh, self.numbers.order
        answer = np.zeros(called.shape)
        if settled is not None:
            answer[:, mesh.held] = settled[:, mesh.held]
            called = called - gather(mesh, against(self.elements.shape, felt(mesh, self.elements.stress, answer)))
            if mesh.springs is not None:
                called += mesh.springs * settled
        if self.numbers.size:
            answer[:, order] = self.factor.solve(called.take(order, axis=1))
        return answer
