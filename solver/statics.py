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
    return factor_of_pairs(mesh, numbers, stiffness.reshape(36, -1).take(PAIRS, axis=0))


def factor_of_pairs(mesh: Mesh, numbers: Numbering, pairs: Array) -> Factor | None:
    """As :func:`factor`, from the stiffnesses (21, B) of each of :data:`solver.patterns.PAIRS`."""
    size = numbers.size
    if not size:
        return Dense(np.zeros((0, 0)), np.ones(0))
    if size <= DENSE_UNKNOWNS:
        return _dense(_full(mesh, numbers, pairs[None])[0])
    if _fits_band(numbers):
        return _banded(_bands(mesh, numbers, pairs[None])[0])
    return _sparse(mesh, numbers, pairs)


def solved_apart(mesh: Mesh, numbers: Numbering, pairs: Array, right: Array) -> Iterator[Array | None]:
    """Solutions (m,) for right-hand sides (k, m), each of a stiffness (k, 21, B) of its own, all scattered together; None where one has no factor."""
    if not numbers.size:
        return iter(right)
    if numbers.width == numbers.size:
        return map(_solved_full, _full(mesh, numbers, pairs), right)
    if _fits_band(numbers):
        return map(_solved_band, _bands(mesh, numbers, pairs), right)
    return (_solved_sparse(mesh, numbers, each, one) for each, one in zip(pairs, right, strict=True))


def _fits_band(numbers: Numbering) -> bool:
    return float(numbers.size) * numbers.width**2 <= BAND_WORK


def _full(mesh: Mesh, numbers: Numbering, pairs: Array) -> Array:
    """(k, m, m) full matrices, whose lower halves stand stored by columns, springs included."""
    size = numbers.size
    found = _scattered(_in_square(numbers), pairs, size, size)
    if mesh.springs is not None:
        np.einsum("kmm->km", found)[...] += mesh.springs[numbers.order]
    return found


def _bands(mesh: Mesh, numbers: Numbering, pairs: Array) -> Array:
    """(k, m, width + 1) bands below the diagonal, stored by columns, springs included."""
    found = _scattered(_in_band(numbers), pairs, numbers.size, numbers.width + 1)
    if mesh.springs is not None:
        found[:, :, 0] += mesh.springs[numbers.order]
    return found


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


def _dense(matrix: Array) -> Factor | None:
    """Of a full matrix, in place."""
    diagonal = matrix.diagonal().copy()
    lower, bad = lapack.dpotrf(matrix.T, lower=1, clean=0, overwrite_a=1)
    return None if bad else Dense(lower, diagonal)


def _banded(packed: Array) -> Factor | None:
    """Of a band (m, depth) below the diagonal, in place."""
    diagonal = packed[:, 0].copy()
    lower, bad = lapack.dpbtrf(packed.T, lower=1, overwrite_ab=1)
    return None if bad else Banded(lower, diagonal)


def _solved_full(matrix: Array, right: Array) -> Array | None:
    """One right-hand side (m,) of a full matrix, in place."""
    _, found, bad = lapack.dposv(matrix.T, right, lower=1, overwrite_a=1)
    return None if bad else np.asarray(found)


def _solved_band(packed: Array, right: Array) -> Array | None:
    """The same of a band (m, depth)."""
    _, found, bad = lapack.dpbsv(packed.T, right, lower=1, overwrite_ab=1)
    return None if bad else np.asarray(found)


def _sparse(mesh: Mesh, numbers: Numbering, pairs: Array) -> Factor | None:
    matrix = with_springs(mesh, numbers, assembled(numbers, pairs.take(SQUARE, axis=0)))
    try:
        found = Sparse(matrix)
    except RuntimeError:  # exactly singular
        return None
    return found if found.pivots.min() > 0.0 else None


def _solved_sparse(mesh: Mesh, numbers: Numbering, pairs: Array, right: Array) -> Array | None:
    found = _sparse(mesh, numbers, pairs)
    return None if found is None else np.asarray(found.solve(right[None])[0])


class Equations(NamedTuple):
    """Everything about the left-hand side: the mesh, its elements, the numbering and the factor."""

    mesh: Mesh
    elements: Elements
    numbers: Numbering
    factor: Factor

    def displace(self, called: Array, settled: Array | None) -> Array:
        """Unknowns (C, 3 n) mm, rad under forces ``called`` (C, 3 n) on them, those that supports hold being ``settled`` (C, 3 n)."""
        if settled is None:
            return self._moved(called)
        mesh = self.mesh
        held = np.where(mesh.held, settled, 0.0)
        called = called - gather(mesh, against(self.elements.shape, felt(mesh, self.elements.stress, held)))
        if mesh.springs is not None:
            called += mesh.springs * settled
        return self._moved(called) + held

    def _moved(self, called: Array) -> Array:
        """The same where supports stand still: what has no equation reads a column of noughts."""
        numbers = self.numbers
        found = np.zeros((len(called), numbers.size + 1))
        if numbers.size:
            found[:, :-1] = self.factor.solve(called.take(numbers.order, axis=1))
        return found.take(numbers.rows, axis=1)
