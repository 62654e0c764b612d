"""The few movements of a frame that answer a second matrix most: buckling modes and modes of vibration."""

from __future__ import annotations

import numpy as np
from scipy.linalg import eigh
from scipy.sparse import csc_array, diags_array
from scipy.sparse.linalg import ArpackNoConvergence, LinearOperator, eigsh

from .faults import IllConditioned
from .frame import Array
from .soundness import energy
from .statics import Equations, assembled, with_springs

DOUBT = 1e-6  # difference between the value of a mode and its energies, of the largest value, from which digits have been lost
NOISE = 1e-7  # values below this share of the second matrix are judged against it: rounding, where nothing buckles
DENSE_MODES = 300  # unknowns up to which all modes at once are faster than iteration


def modes(solved: Equations, second: csc_array, count: int) -> tuple[Array, Array]:
    """Largest ``count`` values (descending) of ``second x = value stiffness x`` and their movements (count, 3 n)."""
    numbers, mesh = solved.numbers, solved.mesh
    count = min(count, numbers.size)
    if not count:
        return np.zeros(0), np.zeros((0, len(mesh.free)))
    first = with_springs(mesh, numbers, assembled(numbers, solved.elements.stiffness()))
    scale = 1.0 / np.sqrt(first.diagonal())  # so that rotations and displacements weigh alike
    first, second = _scaled(first, scale), _scaled(second, scale)
    if numbers.size <= max(DENSE_MODES, count + 1):
        values, vectors = eigh(second.toarray(), first.toarray(), subset_by_index=[numbers.size - count, numbers.size - 1])
    else:
        values, vectors = _iterated(solved, first, second, scale, count)
    moved = np.zeros((count, len(mesh.free)))
    moved[:, numbers.order] = vectors.T[::-1] * scale
    _check(solved, second, vectors, values, moved[::-1])
    return np.asarray(values[::-1]), moved


def _scaled(matrix: csc_array, scale: Array) -> csc_array:
    return csc_array(diags_array(scale) @ matrix @ diags_array(scale))


def _check(solved: Equations, second: csc_array, vectors: Array, values: Array, moved: Array) -> None:
    """The value again, from the strain energy of the bays, which rounding spares: a mode of rounding gives itself away."""
    stored = np.array([energy(solved.mesh, solved.elements, one) for one in moved])
    again = (vectors * (second @ vectors)).sum(axis=0) / stored
    size = max(float(np.abs(values).max()), NOISE * float(np.abs(second).max()))
    wrong = float(np.abs(again - values).max()) / size if size else 0.0
    if wrong > DOUBT:
        raise IllConditioned(wrong / float(np.finfo(float).eps))


def _iterated(solved: Equations, first: csc_array, second: csc_array, scale: Array, count: int) -> tuple[Array, Array]:
    """Lanczos with the factor at hand; the start is fixed so that equal frames give equal answers."""
    size = solved.numbers.size
    inverse = LinearOperator((size, size), matvec=lambda v: solved.factor.solve(v.reshape(1, -1) / scale)[0] / scale, dtype=float)
    start = np.cos(np.arange(size) * 1.7) + 0.1
    try:
        values, vectors = eigsh(second, k=count, M=first, Minv=inverse, which="LA", v0=start)
    except ArpackNoConvergence as none:
        raise IllConditioned(np.inf) from none
    order = np.argsort(values)
    return values[order], vectors[:, order]
