"""The few movements of a frame that answer a second matrix most: buckling modes and modes of vibration."""

from __future__ import annotations

import numpy as np
from scipy.linalg import eigh
from scipy.sparse import csc_array
from scipy.sparse.linalg import ArpackNoConvergence, LinearOperator, eigsh

from .faults import IllConditioned
from .frame import Array
from .statics import Equations, assembled, with_springs

DENSE_MODES = 250  # unknowns up to which all modes at once are faster than iteration


def modes(solved: Equations, second: csc_array, count: int) -> tuple[Array, Array]:
    """Largest ``count`` values (descending) of ``second x = value stiffness x`` and their movements (count, 3 n)."""
    numbers, mesh = solved.numbers, solved.mesh
    count = min(count, numbers.size)
    if not count:
        return np.zeros(0), np.zeros((0, len(mesh.free)))
    first = with_springs(mesh, numbers, assembled(mesh, numbers, solved.elements.stiffness()))
    if numbers.size <= max(DENSE_MODES, count + 1):
        values, vectors = eigh(second.toarray(), first.toarray(), subset_by_index=[numbers.size - count, numbers.size - 1])
    else:
        values, vectors = _iterated(solved, first, second, count)
    moved = np.zeros((count, len(mesh.free)))
    moved[:, numbers.order] = vectors.T[::-1]
    return np.asarray(values[::-1]), moved


def _iterated(solved: Equations, first: csc_array, second: csc_array, count: int) -> tuple[Array, Array]:
    """Lanczos with the factor at hand; the start is fixed so that equal frames give equal answers."""
    size = solved.numbers.size
    inverse = LinearOperator((size, size), matvec=lambda v: solved.factor.solve(v.reshape(1, -1))[0], dtype=float)
    start = np.cos(np.arange(size) * 1.7) + 0.1
    try:
        values, vectors = eigsh(second, k=count, M=first, Minv=inverse, which="LA", v0=start)
    except ArpackNoConvergence as none:
        raise IllConditioned(np.inf) from none
    order = np.argsort(values)
    return values[order], vectors[:, order]
