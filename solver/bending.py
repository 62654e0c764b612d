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
from .incidence import Incidence, blocks
from .loading import Loading
from .mesh import Mesh

LINES = 5  # N, V, M, axial and transverse displacement
POWERS, MOVING = 4, 6  # coefficients of the polynomials of N, V, M and of the displacements


@dataclass(frozen=True, slots=True)
class Held:
    """What the loads do to bays whose ends cannot move.

    ``forces`` (7, C, B) against the rows of the elements: basic forces, then what stands on the ends, against u, w of the start and of the end;
    ``sag`` (C, B) ∬∫q over the cube of the length, of a bay whose start is free; ``slide`` (C, B) what point moments leave out of ∫V, or None;
    ``scaled`` (2, 2, C, B) whole loads as forces: q0 L, then q1 L².
    """

    forces: Array
    sag: Array
    slide: Array | None
    scaled: Array

    @property
    def start(self) -> Array:
        """(C, B) shear at the start of the simple beam."""
        return np.asarray(self.forces[4])


# From axial q0 L, q1 L² and transverse q0 L, q1 L² of a bay: N at the start, end rotations of the simple beam times -EI/L², forces along and
# across on its start, along and across on its end, and the sag over L³ were its start free.
WHOLE = np.array(
    (
        (1 / 2, 1 / 6, 0.0, 0.0),
        (0.0, 0.0, -1 / 24, -7 / 360),
        (0.0, 0.0, 1 / 24, 8 / 360),
        (0.0, 0.0, 0.0, 0.0),
        (0.0, 0.0, -1 / 2, -1 / 6),
        (-1.0, -1 / 2, 0.0, 0.0),
        (0.0, 0.0, -1 / 2, -1 / 3),
        (0.0, 0.0, 1 / 24, 1 / 120),
    )
)


def fixed(mesh: Mesh, parts: Elements, loads: Loading) -> Held:
    """Forces while all unknowns are held at zero."""
    length = mesh.length
    square = length * length
    scaled = loads.whole * np.array((length, square))[:, None]
    forces = (WHOLE @ scaled.reshape(4, -1)).reshape(8, *scaled.shape[2:])
    slide = _add_brackets(mesh, loads.brackets, forces) if len(loads.brackets) else None
    k11, k12, k22 = parts.basic[1:]
    near, far = forces[1:3] * (square / mesh.ei)
    if slide is not None and mesh.shear is not None:
        through = slide * (mesh.shear / length)
        near, far = near - through, far - through
    forces[1] = k11 * near + k12 * far
    forces[2] = k12 * near + k22 * far
    if loads.strain is not None:
        forces[0] -= mesh.ea * loads.strain
    return Held(forces[:7], forces[7], slide, scaled)


def _add_brackets(mesh: Mesh, given: Brackets, forces: Array) -> Array | None:
    """Add the brackets to the rows of :data:`WHOLE` in place; returns what point moments leave out of ∫V, (C, B)."""
    length = mesh.length[given.bay]
    place = given.case * len(mesh.length) + given.bay
    r0, r1, r2, r3 = (bracket(length - given.at, given.order + 1 + k) / length**k for k in range(4))
    v, m, slope, sag = given.across * (r0, r1, r2, r3)
    rows = (given.axial * r1, sag - m / 6.0, sag + m / 3.0 - slope, None, -m, -given.axial * r0, m - v, sag)
    for row, part in zip(forces, rows, strict=True):
        if part is not None:
            row += np.bincount(place, part, row.size).reshape(row.shape)
    turns = given.order == -2
    if not turns.any():
        return None
    size, shape = forces[0].size, forces.shape[1:]
    return np.asarray(-np.bincount(place[turns], given.across[turns], size).reshape(shape), dtype=np.float64)


@dataclass(frozen=True)
class States:
    """What every bay does under displacements ``moved`` (C, 3 n) and the loads; each part is worked out when it is first asked for."""

    mesh: Mesh
    hung: Incidence
    loads: Loading
    held: Held
    moved: Array

    @cached_property
    def basic(self) -> Array:
        """(3, C, B) basic forces."""
        return np.asarray(self.hung.stress(self.moved) + self.held.forces[:3])

    @cached_property
    def acting(self) -> Array:
        """(7, C, B) forces of the bays against the rows of the elements: basic forces, then what stands on the ends."""
        return np.concatenate((self.basic, self.held.forces[3:]))

    @cached_property
    def sources(self) -> Array:
        """(8, C, B) N in all that N, V, M come from: see :data:`SOURCES`."""
        return sources_of(self.mesh, self.held, self.basic)

    @cached_property
    def forces(self) -> Array:
        """(3, C, B, 4) coefficients of N, V, M."""
        return evaluated(self.mesh, self.sources, SOURCES)

    @cached_property
    def movements(self) -> Array:
        """(2, C, B, 6) coefficients of u, w."""
        return movements_of(self.mesh, self.loads, self.held, self.forces, self.hung.place(self.moved))


# N, V and M / L in powers of x / L (3, 8, 4), from N at the start, both end moments over L, the shear at the start of the simple beam, and axial
# q0 L, q1 L² and transverse q0 L, q1 L².
SOURCES = np.array(
    (
        (
            (1.0, 0.0, 0.0, 0.0), (0.0,) * 4, (0.0,) * 4, (0.0,) * 4,
            (0.0, -1.0, 0.0, 0.0), (0.0, 0.0, -1 / 2, 0.0), (0.0,) * 4, (0.0,) * 4,
        ),
        (
            (0.0,) * 4, (1.0, 0.0, 0.0, 0.0), (1.0, 0.0, 0.0, 0.0), (1.0, 0.0, 0.0, 0.0),
            (0.0,) * 4, (0.0,) * 4, (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1 / 2, 0.0),
        ),
        (
            (0.0,) * 4, (-1.0, 1.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0),
            (0.0,) * 4, (0.0,) * 4, (0.0, 0.0, 1 / 2, 0.0), (0.0, 0.0, 0.0, 1 / 6),
        ),
    )
)  # fmt: skip


def sources_of(mesh: Mesh, held: Held, basic: Array) -> Array:
    """(8, C, B) see :data:`SOURCES`, from the basic forces (3, C, B)."""
    sources = np.empty((8, *basic.shape[1:]))
    sources[0] = basic[0]
    np.divide(basic[1:], mesh.length, out=sources[1:3])
    sources[3] = held.start
    sources[4:] = held.scaled.reshape(4, *basic.shape[1:])
    return sources


def evaluated(mesh: Mesh, sources: Array, table: Array) -> Array:
    """(3, C, B, k) N, V, M from sources (8, C, B): coefficients by :data:`SOURCES`, or values by its product with powers of places (3, 8, k)."""
    count, cases, bays = sources.shape
    places = table.shape[2]
    found = np.empty((3, cases, bays * places))
    for some in blocks(cases, 3 * bays * places):
        part = sources[:, some].reshape(count, -1)
        values = np.matmul(part.T, table, out=found[:, some].reshape(3, -1, places))
        values[2].reshape(-1, bays, places)[:] *= mesh.length[:, None]
    return found.reshape(3, cases, bays, places)


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
    np.subtract(w2 - w1 - w[2] - w[3], held.sag * (soft * length), out=w[1])
    if mesh.shear is not None:
        drop = m[1] - held.start * length
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
