"""What loads do inside a bay whose start is free of force and movement, and from it the state of every bay.

With axial ``N' = -q_x``, ``V' = q_y``, ``M' = V`` and ``EI w'' = M`` every quantity is a polynomial plus brackets. M is positive where
the piece sags when read from its first node (tension on the side of -y of the bay's own axes); V = dM/dx; w along the bay's own y.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .brackets import Brackets, bracket
from .elements import Elements
from .frame import Array, Index
from .loading import Loading
from .mesh import Mesh

POWERS = 6  # coefficients of the highest polynomial: deflection under a load that grows along the bay
LINES = 5  # N, V, M, axial and transverse displacement


@dataclass(frozen=True, slots=True)
class AtEnd:
    """What the loads have summed up to at the far end of bays whose start is free, whole loads and brackets together.

    ``along`` (4, C, B): -N, -∫N and two more integrals; ``across`` (4, C, B): V, M, ∫M, ∬M. ``slide`` (C, B): ∫V less M, which only a point
    moment makes differ from zero; None where there is none.
    """

    along: Array
    across: Array
    slide: Array | None


def at_end(mesh: Mesh, loads: Loading) -> AtEnd:
    """Carry all loads from the start of each bay to its end."""
    powers = np.multiply.accumulate(np.array((mesh.length,) * 5)) / FACTORIAL
    along, across = np.einsum("kmb,dmcb->dkcb", np.array((powers[:4], powers[1:])).swapaxes(0, 1), loads.whole)
    slide = _add_brackets(mesh, loads.brackets, along, across) if len(loads.brackets) else None
    return AtEnd(along, across, slide)


FACTORIAL = np.array((1.0, 2.0, 6.0, 24.0, 120.0))[:, None]


def _add_brackets(mesh: Mesh, given: Brackets, along: Array, across: Array) -> Array | None:
    """Add the brackets in place; returns what point moments leave out of ∫V, (C, B)."""
    distance = mesh.length[given.bay] - given.at
    place = given.case * len(mesh.length) + given.bay
    size, shape = along[0].size, along.shape[1:]
    for k in range(4):
        reach = bracket(distance, given.order + 1 + k)
        for axis, value in ((along, given.axial), (across, given.across)):
            axis[k] += np.bincount(place, value * reach, size).reshape(shape)
    turns = given.order == -2
    if not turns.any():
        return None
    return np.asarray(-np.bincount(place[turns], given.across[turns], size).reshape(shape), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Held:
    """Forces of the loads on a frame that cannot move: ``basic`` (3, C, B), ``ends`` (C, 6, B) against the unknowns."""

    basic: Array
    ends: Array


def fixed(mesh: Mesh, parts: Elements, loads: Loading, end: AtEnd) -> Held:
    """Basic forces and end forces while all unknowns are held at zero."""
    length = mesh.length
    v, m, slope, sag = end.across
    forces = np.zeros((7, *m.shape))  # basic forces, then forces along and across on the start and on the end
    k11, k12, k22 = parts.basic[1:]
    sag = sag / length
    near = (sag - m * (length / 6.0)) / mesh.ei  # less the end rotations of the simple beam
    far = (sag + m * (length / 3.0) - slope) / mesh.ei
    if end.slide is not None:
        through = end.slide * (mesh.shear / length)
        near, far = near - through, far - through
    np.divide(end.along[1], length, out=forces[0])
    if loads.strain is not None:
        forces[0] -= mesh.ea * loads.strain
    forces[1] = k11 * near + k12 * far
    forces[2] = k12 * near + k22 * far
    np.divide(m, -length, out=forces[4])
    np.negative(end.along[0], out=forces[5])
    forces[6] = -forces[4] - v
    return Held(forces[:3], np.einsum("rab,rcb->cab", parts.rows, forces))


@dataclass(frozen=True, slots=True)
class States:
    """``lines`` (5, 6, C, B): coefficients of N, V, M, u, w in powers of x / L, brackets not included.

    ``ends`` (C, 6, B): forces of the nodes on the bays, against the unknowns.
    """

    lines: Array
    ends: Array


def states(mesh: Mesh, parts: Elements, loads: Loading, end: AtEnd, held: Held, moved: Array) -> States:
    """State of every bay under displacements ``moved`` (C, 3 n) and the loads."""
    read = np.einsum("rab,cab->rcb", parts.reads, moved[:, mesh.unknowns])
    forces = np.einsum("rab,rcb->cab", parts.shape, read[:3]) + held.ends
    n0, m1, m2 = read[:3] + held.basic
    return States(lines_of(mesh, loads, end, (n0, -m1, m2), read[[3, 4, 6]]), forces)


def lines_of(mesh: Mesh, loads: Loading, end: AtEnd, forces: tuple[Array, Array, Array], moved: Array) -> Array:
    """Polynomials (5, 6, C, B) of the bays from N and M at the start and M at the end, and the movements (3, C, B) u, w of the start, w of the end."""
    (n0, m0, m2), (u1, w1, w2) = forces, moved
    length = mesh.length
    square = length * length
    lines = np.zeros((LINES, POWERS, *n0.shape))
    n, v, m, u, w = lines
    n[0], m[0], u[0], w[0] = n0, m0, u1, w1
    drop = m2 - m0
    np.subtract(drop, end.across[1], out=m[1])
    power = np.array((length, square / 2.0, square * length / 6.0))
    np.multiply(loads.whole[0], -power[:2, None], out=n[1:3])
    np.multiply(loads.whole[1], power[1:, None], out=m[2:4])
    np.divide(m[1:4] * THREE, length, out=v[:3])
    np.multiply(n[:3] * INTEGRAL, length / mesh.ea, out=u[1:4])
    if loads.strain is not None:
        u[1] += loads.strain * length
    np.multiply(m[:4] * TWICE, square / mesh.ei, out=w[2:6])
    np.subtract(w2 - w1 - w[2] - w[3], end.across[3] / mesh.ei, out=w[1])
    if mesh.soft:
        w[1] += drop * mesh.shear
        if end.slide is not None:
            w[1] += end.slide * mesh.shear
        w[1:4] -= m[1:4] * mesh.shear
    return lines


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
            across * reach[3] / mesh.ei[bay] - force * mesh.shear[bay],
        )
    )
