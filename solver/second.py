"""Terms of second order in a bay's movements: the work of its axial force as it turns and bends, and of its mass as it moves.

The cubic of a bay without load is exact for first order; the terms here are consistent with it. With pinned or sprung joints the cubic
follows the bay's own ends, not the nodes. Theory: Przemieniecki, Theory of Matrix Structural Analysis (1968), from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .elements import Elements
from .frame import Array
from .mesh import Mesh
from .table import Table


@dataclass(frozen=True, slots=True)
class Shapes:
    """Rows (..., 6, B) against a bay's unknowns: ``turn`` of the chord, ``bend`` (2): end slopes against it, ``place`` (4): u, w of the ends."""

    turn: Array
    bend: Array
    place: Array


def shapes(mesh: Mesh, parts: Elements) -> Shapes:
    """What each bay's unknowns make of its chord, its end slopes and its ends, in the bay's own axes."""
    place = parts.place
    soft = mesh.length / (6.0 * mesh.ei)
    m1, m2 = parts.stress[1:]
    return Shapes((place[3] - place[1]) / mesh.length, np.array((soft * (2.0 * m1 - m2), soft * (2.0 * m2 - m1))), place)


def geometric(mesh: Mesh, rows: Shapes) -> Array:
    """(6, 6, B) geometric stiffness of each bay under an axial tension of 1 N."""
    length = mesh.length
    chord = rows.turn[:, None] * rows.turn * length
    near, far = rows.bend
    mixed = near[:, None] * far
    return np.asarray(chord + (length / 30.0) * (4.0 * (near[:, None] * near + far[:, None] * far) - mixed - mixed.swapaxes(0, 1)))


def sliding(mesh: Mesh, rows: Shapes, axial: Array) -> Array | None:
    """(6, 6, B) what bays soft in shear lose of their stiffness under axial forces (B,) as they slide more where they stand steeper.

    The cubic has one slide for the whole bay; a parabola of its own in each bay, condensed, lets it vary. None where some bay slides away
    under its force, which is then no less than GA.
    """
    assert mesh.shear is not None
    left = 1.0 + mesh.shear * axial
    if left.min() <= 0.0:
        return None
    apart = rows.bend[0] - rows.bend[1]
    return np.asarray(-apart[:, None] * apart * (axial * axial * mesh.shear * mesh.length / 12.0 / left))


def arms(mesh: Mesh, ends: Array) -> Array:
    """(..., 6, 6, B) what rigid arms add: the force (..., 4, B) x, y on the start and on the end of the bay moves as the arm turns."""
    added = np.zeros((*ends.shape[:-2], 6, 6, len(mesh.length)))
    if mesh.arms is None:
        return added
    (x1, y1), (x2, y2) = mesh.arms
    fx, fy, gx, gy = np.moveaxis(ends, -2, 0)
    added[..., 2, 2, :] = -(fx * x1 + fy * y1)
    added[..., 5, 5, :] = -(gx * x2 + gy * y2)
    return added


def inertia(mesh: Mesh, rows: Shapes) -> Array:
    """(6, 6, B) consistent mass, kg and kg mm²."""
    length, mass = mesh.length, mesh.mass * mesh.length
    third, sixth = mass / 3.0, mass / 6.0
    axial = _squared(rows.place[[0, 2]], np.array(((third, sixth), (sixth, third))))
    near, far = mass * length / 20.0, mass * length / 30.0
    own, cross = mass * length**2 / 105.0, -mass * length**2 / 140.0
    weights = np.array(
        (
            (third, sixth, near, -far),
            (sixth, third, far, -near),
            (near, far, own, cross),
            (-far, -near, cross, own),
        )
    )
    return axial + _squared(np.concatenate((rows.place[[1, 3]], rows.bend)), weights)


def _squared(rows: Array, weights: Array) -> Array:
    return np.asarray(np.einsum("rab,rqb,qcb->acb", rows, weights, rows, optimize=True))


def mean_axial(table: Table) -> Array:
    """(rows, B) mean axial force of each bay, from the stations at its ends: exact while it changes evenly."""
    first, last = table.layout.edges
    return np.asarray(0.5 * (table.n[:, first] + table.n[:, last]))


def pushes(mesh: Mesh, table: Table) -> Array:
    """(rows, 4, B) force x, y of the nodes on the start and on the end of each bay."""
    first, last = table.layout.edges
    c, s = mesh.cos, mesh.sin
    n1, v1, n2, v2 = -table.n[:, first], table.v[:, first], table.n[:, last], -table.v[:, last]
    return np.stack((c * n1 - s * v1, s * n1 + c * v1, c * n2 - s * v2, s * n2 + c * v2), axis=1)
