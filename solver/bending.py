"""What loads do inside a bay whose start is free of force and movement, and from it the state of every bay.

With axial ``N' = -q_x``, ``V' = q_y``, ``M' = V`` and ``EI w'' = M`` every quantity is a polynomial plus brackets. M is positive where
the piece sags when read from its first node (tension on the side of -y of the bay's own axes); V = dM/dx; w along the bay's own y.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .elements import Elements, placement
from .frame import Array
from .loading import Brackets, Loading, bracket
from .mesh import Mesh
from .statics import Equations

POWERS = 6  # coefficients of the highest polynomial: deflection under a load that grows along the bay
LINES = 5  # N, V, M, axial and transverse displacement


@dataclass(frozen=True, slots=True)
class AtEnd:
    """(C, B) values at the far end of bays whose start is free: brackets and whole loads together.

    ``n``, ``stretch`` (∫N); ``v``, ``m``, ``slope`` (∫M), ``sag`` (∬M); ``shear`` (∫V, which a point moment does not enter).
    """

    n: Array
    stretch: Array
    v: Array
    m: Array
    slope: Array
    sag: Array
    shear: Array


def at_end(mesh: Mesh, loads: Loading) -> AtEnd:
    """Carry all loads from the start of each bay to its end."""
    length = mesh.length
    square = length * length
    grown = np.array(
        (
            (length, square / 2.0),
            (square / 2.0, square * length / 6.0),
            (square * length / 6.0, square * square / 24.0),
            (square * square / 24.0, square * square * length / 120.0),
        )
    )
    sums = np.einsum("kmb,dmcb->dkcb", grown, loads.whole)
    shear = sums[1, 1]
    if len(loads.brackets):
        shear = shear.copy()
        shear += _add_brackets(mesh, loads.brackets, sums)
    return AtEnd(-sums[0, 0], -sums[0, 1], sums[1, 0], sums[1, 1], sums[1, 2], sums[1, 3], shear)


def _add_brackets(mesh: Mesh, given: Brackets, sums: Array) -> Array:
    """Add the brackets to ``sums`` in place; returns what ∫V gets from them, (C, B)."""
    distance = mesh.length[given.bay] - given.at
    place = given.case * len(mesh.length) + given.bay
    size, shape = sums[0, 0].size, sums.shape[2:]
    for k in range(4):
        reach = bracket(distance, given.order + 1 + k)
        for axis, value in enumerate((given.axial, given.across)):
            sums[axis, k] += np.bincount(place, value * reach, size).reshape(shape)
    force = np.where(given.order > -2, given.across * bracket(distance, given.order + 2), 0.0)
    return np.asarray(np.bincount(place, force, size).reshape(shape), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class States:
    """``lines`` (5, C, B, 6): coefficients of N, V, M, u, w in powers of x / L, brackets not included.

    ``ends`` (C, 6, B): forces of the nodes on the bays, against the unknowns.
    """

    lines: Array
    ends: Array


def fixed(mesh: Mesh, parts: Elements, loads: Loading, end: AtEnd) -> tuple[Array, Array]:
    """Basic forces (C, 3, B) and end forces (C, 6, B) of the loads while all unknowns are held at zero."""
    length, ei, shear = mesh.length, mesh.ei, mesh.shear
    v0 = -end.m / length
    through = v0 * length + end.shear
    near = -(v0 * length**2 / 6.0 + end.sag / length) / ei + through * shear / length
    far = near + (v0 * length**2 / 2.0 + end.slope) / ei
    axial, k11, k12, k22 = parts.basic
    stretch = end.stretch / mesh.ea
    if loads.strain is not None:
        stretch = stretch + loads.strain * length
    basic = -np.array((axial * stretch, k11 * near + k12 * far, k12 * near + k22 * far)).transpose(1, 0, 2)
    ends = np.einsum("rab,crb->cab", parts.shape, basic)
    local = np.array((0.0 * v0, v0, end.n, -v0 - end.v))
    c, s = mesh.cos, mesh.sin
    world = np.array((c * local[0] - s * local[1], s * local[0] + c * local[1], c * local[2] - s * local[3], s * local[2] + c * local[3]))
    ends += np.einsum("rab,rcb->cab", placement(mesh), world)
    return basic, ends


def states(solved: Equations, loads: Loading, end: AtEnd, held: tuple[Array, Array], moved: Array) -> States:
    """State of every bay under displacements ``moved`` (C, 3 n) and the loads, whose held forces are ``held`` from :func:`fixed`."""
    mesh, parts = solved.mesh, solved.elements
    ends = moved[:, mesh.unknowns]
    own = np.einsum("rab,cab->crb", parts.stress, ends)
    forces = np.einsum("rab,crb->cab", parts.shape, own) + held[1]
    n0, m1, m2 = (own + held[0]).transpose(1, 0, 2)
    x1, y1, x2, y2 = np.einsum("rab,cab->rcb", placement(mesh), ends)
    c, s = mesh.cos, mesh.sin
    u1, w1, w2 = c * x1 + s * y1, c * y1 - s * x1, c * y2 - s * x2
    return States(lines_of(mesh, loads, end, (n0, -m1, m2), (u1, w1, w2)), forces)


def lines_of(mesh: Mesh, loads: Loading, end: AtEnd, forces: tuple[Array, Array, Array], moved: tuple[Array, Array, Array]) -> Array:
    """Polynomials of a bay from N and M at its start, M at its end, and the movements of its ends."""
    (n0, m0, m2), (u1, w1, w2) = forces, moved
    (a, da), (q, dq) = loads.whole
    length, ei, shear = mesh.length, mesh.ei, mesh.shear
    square = length * length
    v0 = (m2 - m0 - end.m) / length
    bent = (m0 * square / 2.0 + v0 * square * length / 6.0 + end.sag) / ei
    turn = w2 - w1 - bent + (v0 * length + end.shear) * shear  # rotation of the start times the length
    extend = n0 / mesh.ea if loads.strain is None else n0 / mesh.ea + loads.strain
    load, growth = q * square, dq * square * length
    lines = np.zeros((LINES, *n0.shape, POWERS))
    n, v, m, u, w = lines
    n[..., 0], n[..., 1], n[..., 2] = n0, -a * length, -da * square / 2.0
    v[..., 0], v[..., 1], v[..., 2] = v0, q * length, dq * square / 2.0
    m[..., 0], m[..., 1], m[..., 2], m[..., 3] = m0, v0 * length, load / 2.0, growth / 6.0
    u[..., 0], u[..., 1] = u1, extend * length
    u[..., 2:4] = (n * (length / mesh.ea)[:, None])[..., 1:3] / (2.0, 3.0)
    scale = (square / ei)[:, None] / (2.0, 6.0, 12.0, 20.0)
    w[..., 0], w[..., 1] = w1, turn
    w[..., 2:6] = m[..., :4] * scale
    if shear.any():
        w[..., 1:4] -= m[..., 1:4] * shear[:, None]
    return lines


def bracket_lines(mesh: Mesh, given: Brackets, which: Array, distance: Array) -> Array:
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
