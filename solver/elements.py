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
    """Rows against the six unknowns of each bay.

    ``rows`` (7, 6, B): elongation, both end rotations against the chord, and the movements u, w of the start and of the end in the bay's
    own axes. ``reads`` (7, 6, B): the basic forces these deformations call for, and again the movements. ``basic`` (4, B): EA/L, k11, k12, k22.
    """

    rows: Array
    reads: Array
    basic: Array

    @property
    def shape(self) -> Array:
        """(3, 6, B) basic deformations from the unknowns."""
        return self.rows[:3]

    @property
    def place(self) -> Array:
        """(4, 6, B) movements u, w of the start and of the end, along and across the bay."""
        return self.rows[3:]

    @property
    def stress(self) -> Array:
        """(3, 6, B) basic forces from the unknowns."""
        return self.reads[:3]

    def stiffness(self) -> Array:
        """(6, 6, B) stiffness against the unknowns."""
        return np.asarray(np.einsum("rab,rcb->acb", self.shape, self.stress))


def elements(mesh: Mesh) -> Elements:
    """Elements of all bays of the mesh."""
    rows = _rows(mesh)
    stretch, k11, k12, k22 = basic = _basic(mesh)
    reads = rows.copy()
    np.multiply(rows[0], stretch, out=reads[0])
    reads[1] = k11 * rows[1] + k12 * rows[2]
    reads[2] = k12 * rows[1] + k22 * rows[2]
    return Elements(rows, reads, basic)


def _basic(mesh: Mesh) -> Array:
    length = mesh.length
    bend, slide = length / (6.0 * mesh.ei), mesh.shear / length
    near, far = 2.0 * bend + slide, slide - bend  # rotation of an end under its own unit moment, and of the other end
    share = near / (near + mesh.joints)  # of rigidity of the joints: 0 pinned to 1 rigid
    both = far * share[0] * share[1]
    scale = 1.0 / (near * near - far * both)
    near *= scale
    return np.array((mesh.ea / length, near * share[0], -scale * both, near * share[1]))


def _rows(mesh: Mesh) -> Array:
    c, s, length = mesh.cos, mesh.sin, mesh.length
    rows = np.zeros((7, 6, len(length)))
    rows[3, 0] = rows[4, 1] = rows[5, 3] = rows[6, 4] = c
    rows[3, 1] = rows[5, 4] = s
    rows[4, 0] = rows[6, 3] = -s
    if mesh.arms is not None:
        (x1, y1), (x2, y2) = mesh.arms
        rows[3, 2], rows[4, 2] = s * x1 - c * y1, c * x1 + s * y1
        rows[5, 5], rows[6, 5] = s * x2 - c * y2, c * x2 + s * y2
    if mesh.turned is not None:
        _turn(mesh, rows[3:])
    np.subtract(rows[5], rows[3], out=rows[0])
    np.divide(rows[4] - rows[6], length, out=rows[1])
    rows[2] = rows[1]
    rows[1, 2] += 1.0
    rows[2, 5] += 1.0
    return rows


def _turn(mesh: Mesh, rows: Array) -> None:
    """Rows against global displacements, rewritten in place against the axes of inclined supports."""
    cos, sin = axes(mesh)
    for end, (u, v) in enumerate(((0, 1), (3, 4))):
        c, s = cos[mesh.ends[end]], sin[mesh.ends[end]]
        rows[:, u], rows[:, v] = rows[:, u] * c + rows[:, v] * s, rows[:, v] * c - rows[:, u] * s


def axes(mesh: Mesh) -> tuple[Array, Array]:
    """Cosine and sine of the axes of every node."""
    cos, sin = np.ones(len(mesh.xy)), np.zeros(len(mesh.xy))
    if mesh.turned is not None:
        cos[mesh.turned[0]], sin[mesh.turned[0]] = mesh.turned[1:]
    return cos, sin
