"""The straight bay as an element: three basic forces, four numbers of stiffness, any end joint, shear and eccentric ends.

Basic forces: N at the start (tension +), and the end moments m1, m2 on the bay (counter-clockwise +). They answer the
elongation and the end rotations against the chord. Rigid, sprung and pinned joints differ only in two numbers between 0 and 1
(the share of rigidity), so no case needs a branch. Theory: Przemieniecki, Theory of Matrix Structural Analysis (1968), from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .frame import Array
from .mesh import Mesh


@dataclass(frozen=True, slots=True)
class Elements:
    """``shape`` (3, 6, B): basic deformations from the bay's six unknowns. ``basic`` (4, B): EA/L, k11, k12, k22.

    ``stress`` (3, 6, B): basic forces from unknowns. ``share`` (2, B): rigidity of the joints, 0 pinned to 1 rigid.
    """

    shape: Array
    basic: Array
    stress: Array
    share: Array

    def stiffness(self) -> Array:
        """(6, 6, B) stiffness against the unknowns."""
        return np.asarray(np.einsum("rab,rcb->acb", self.shape, self.stress))


def elements(mesh: Mesh) -> Elements:
    """Elements of all bays of the mesh."""
    shape = compatibility(mesh)
    length = mesh.length
    near = length / (3.0 * mesh.ei) + mesh.shear / length  # rotation of an end under its own unit moment
    far = mesh.shear / length - length / (6.0 * mesh.ei)  # and of the other end
    share = near / (near + mesh.joints)
    both = share[0] * share[1]
    scale = 1.0 / (near * near - far * far * both)
    basic = np.array((mesh.ea / length, scale * near * share[0], -scale * far * both, scale * near * share[1]))
    stress = np.empty_like(shape)
    stress[0] = basic[0] * shape[0]
    stress[1] = basic[1] * shape[1] + basic[2] * shape[2]
    stress[2] = basic[2] * shape[1] + basic[3] * shape[2]
    return Elements(shape, basic, stress, share)


def compatibility(mesh: Mesh) -> Array:
    """(3, 6, B): elongation and end rotations against the chord, from the six unknowns of each bay."""
    c, s, length = mesh.cos, mesh.sin, mesh.length
    (x1, y1), (x2, y2) = mesh.arms
    shape = np.empty((3, 6, len(length)))
    shape[0] = -c, -s, c * y1 - s * x1, c, s, s * x2 - c * y2
    chord = np.array((s, -c, -s * y1 - c * x1, -s, c, s * y2 + c * x2)) / length
    shape[1:] = -chord
    shape[1, 2] += 1.0
    shape[2, 5] += 1.0
    return turned(mesh, shape)


def turned(mesh: Mesh, rows: Array) -> Array:
    """Rows (r, 6, B) against global displacements, rewritten (in place) against the axes of inclined supports."""
    if mesh.turned is None:
        return rows
    cos, sin = axes(mesh)
    for end, (u, v) in enumerate(((0, 1), (3, 4))):
        c, s = cos[mesh.ends[end]], sin[mesh.ends[end]]
        rows[:, u], rows[:, v] = rows[:, u] * c + rows[:, v] * s, rows[:, v] * c - rows[:, u] * s
    return rows


def axes(mesh: Mesh) -> tuple[Array, Array]:
    """Cosine and sine of the axes of every node."""
    cos, sin = np.ones(len(mesh.frame.xy)), np.zeros(len(mesh.frame.xy))
    if mesh.turned is not None:
        cos[mesh.turned[0]], sin[mesh.turned[0]] = mesh.turned[1:]
    return cos, sin


def placement(mesh: Mesh) -> Array:
    """(4, 6, B): displacement x, y of the bay's start, then of its end, from the six unknowns."""
    (x1, y1), (x2, y2) = mesh.arms
    rows = np.zeros((4, 6, len(mesh.length)))
    rows[0, 0] = rows[1, 1] = rows[2, 3] = rows[3, 4] = 1.0
    rows[0, 2], rows[1, 2], rows[2, 5], rows[3, 5] = -y1, x1, -y2, x2
    return turned(mesh, rows)
