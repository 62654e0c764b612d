"""What loads do inside a bay whose start is free of force and movement, and from it the state of every bay.

With axial ``N' = -q_x``, ``V' = q_y``, ``M' = V`` and ``EI w'' = M`` every quantity is a polynomial plus brackets. M is positive where
the piece sags when read from its first node (tension on the side of -y of the bay's own axes); V = dM/dx; w along the bay's own y.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .brackets import Brackets, bracket
from .elements import Elements
from .frame import Array, Index
from .held import Held
from .incidence import blocks, felt
from .loading import Loading
from .mesh import Mesh

LINES = 5  # N, V, M, axial and transverse displacement
POWERS, MOVING = 4, 6  # coefficients of the polynomials of N, V, M and of the displacements


@dataclass(eq=False)
class States:
    """What every bay does under displacements ``moved`` (C, 3 n) and the loads; each part is worked out when it is first asked for.

    Not changed after it is made; to have Python see to that would take as long as two steps of the analysis.
    """

    mesh: Mesh
    parts: Elements
    loads: Loading
    held: Held
    moved: Array

    @cached_property
    def sources(self) -> Array:
        """(7 or 10, C, B) what N, V, M come from: see :func:`sources_of`."""
        held, called = self.held, felt(self.mesh, self.parts.reads, self.moved)
        if held.sources is None:
            return sources_of(self.mesh, held, called + held.feet)
        sources = np.empty((7, *called.shape[1:]))
        sources[:5] = held.sources
        sources[:5:2] += called
        np.multiply(sources[3:1:-1], self.mesh.length, out=sources[5:])
        return sources

    @cached_property
    def forces(self) -> Array:
        """(3, C, B, 4) coefficients of N, V, M."""
        return polynomials(self.sources)

    @cached_property
    def movements(self) -> Array:
        """(2, C, B, 6) coefficients of u, w."""
        return movements_of(self.mesh, self.loads, self.held, self.forces, felt(self.mesh, self.parts.place, self.moved))


def sources_of(mesh: Mesh, held: Held, feet: Array) -> Array:
    """(7, C, B), N and N mm, from which N, V and M of the bays are products with powers of the share x / L, see :func:`evaluated`.

    From N, V and m1 at the start (3, C, B): N and q0 L along, V and q0 L across; then m1, and the last two times L. Where loads have a ramp there are
    ten: q1 L² along after q0 L along, the same across, and this times L, last of all.
    """
    (n, v, m1), (along, across) = feet, held.local
    if held.ramp is None:
        return np.array((n, along, v, across, m1, across * mesh.length, v * mesh.length))
    rising, climbing = held.ramp
    length = mesh.length
    return np.array((n, along, rising, v, across, climbing, m1, across * length, v * length, climbing * length))


ONE, X, HALF, SIXTH = np.diag((1.0, 1.0, 1 / 2, 1 / 6))
EVEN = np.array((ONE, -X, ONE, X, -ONE, HALF, X))
RAMPED = np.array((ONE, -X, -HALF, ONE, X, HALF, -ONE, HALF, X, SIXTH))


def evaluated(sources: Array, powers: Array) -> Array:
    """(3, C, B k) N, V, M of sources (7 or 10, C, B) at k places of every bay, from powers (4, k) of their shares of its length: as many products
    of the sources with sums of these."""
    (rows, cases, bays), places = sources.shape, powers.shape[1]
    table = (EVEN if rows == len(EVEN) else RAMPED) @ powers
    thrust = 2 * (rows // 3)  # so many of the rows make N and V, half of them each
    by_thrust, by_moment = table[:thrust].reshape(2, -1, places), table[thrust:]
    found = np.empty((3, cases, bays * places))
    for some in blocks(cases, 3 * bays * places):
        part = sources[:, some]
        np.matmul(part[:thrust].reshape(2, thrust // 2, -1).swapaxes(1, 2), by_thrust, out=found[:2, some].reshape(2, -1, places))
        np.matmul(part[thrust:].reshape(rows - thrust, -1).T, by_moment, out=found[2, some].reshape(-1, places))
    return found


def polynomials(sources: Array) -> Array:
    """(3, C, B, 4) coefficients of N, V, M in powers of x / L."""
    return evaluated(sources, np.eye(POWERS)).reshape(3, *sources.shape[1:], POWERS)


def movements_of(mesh: Mesh, loads: Loading, held: Held, forces: Array, moved: Array) -> Array:
    """(2, C, B, 6) u, w in powers of x / L, brackets not included, from N and M and the movements (4, C, B) u, w of the start and of the end."""
    n, _, m = forces.transpose(0, 3, 1, 2)
    u1, w1, _, w2 = moved
    length = mesh.length
    stretch, soft = length / mesh.ea, length * length / mesh.ei
    found = np.zeros((2, *u1.shape, MOVING))
    u, w = found.transpose(0, 3, 1, 2)
    u[0], w[0] = u1, w1
    np.multiply(n[:3], INTEGRAL * stretch, out=u[1:4])
    if loads.strain is not None:
        u[1] += loads.strain * length
    np.multiply(m, TWICE * soft, out=w[2:])
    sag = held.local[1] / 24.0 if held.sag is None else held.sag
    np.subtract(w2 - w1 - w[2] - w[3], sag * (soft * length), out=w[1])
    if mesh.shear is not None:
        drop = m[1] + held.moments[0] + held.moments[1] - held.feet[1] * length
        w[1] += (drop if held.slide is None else drop + held.slide) * mesh.shear
        w[1:4] -= m[1:] * mesh.shear
    return found


THREE = np.array((1.0, 2.0, 3.0))[:, None, None]
INTEGRAL = 1.0 / THREE
TWICE = 1.0 / np.array((2.0, 6.0, 12.0, 20.0))[:, None, None]


def bracket_lines(mesh: Mesh, given: Brackets, which: Index, distance: Array) -> Array:
    """(5, k): what brackets ``which`` add to N, V, M, u, w at ``distance`` mm beyond their place."""
    order, bay = given.order[which], given.bay[which]
    axial, across = given.axial[which], given.across[which]
    reach = [bracket(distance, order + 1 + k) for k in range(4)]
    force = np.where(order > -2, across * reach[1], 0.0)
    return np.array(
        (
            -axial * reach[0],
            across * reach[0],
            across * reach[1],
            -axial * reach[1] / mesh.ea[bay],
            across * reach[3] / mesh.ei[bay] - (0.0 if mesh.shear is None else force * mesh.shear[bay]),
        )
    )
