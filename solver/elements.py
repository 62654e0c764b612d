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
    rows, basic = _rows(mesh), _basic(mesh)
    reads = rows.copy()
    reads[0] *= basic[0]
    np.add(basic[1:3, None] * rows[1], basic[2:4, None] * rows[2], out=reads[1:3])
    return Elements(rows, reads, basic)


def _basic(mesh: Mesh) -> Array:
    length = mesh.length
    far = length / mesh.ei / -6.0  # rotation of an end under a unit moment on the other end, and under its own
    near = -2.0 * far
    if mesh.shear is not None:
        slide = mesh.shear / length
        near += slide
        far += slide
    share = near / (near + mesh.joints)  # of rigidity of the joints: 0 pinned to 1 rigid
    both = far * share[0] * share[1]
    basic = np.empty((4, len(length)))
    basic[0] = mesh.ea / length
    basic[1::2] = share * near
    np.negative(both, out=basic[2])
    basic[1:] /= near * near - far * both
    return basic


def _rows(mesh: Mesh) -> Array:
    count = len(mesh.length)
    given = np.ones((5, count))
    given[:2] = mesh.way
    np.divide(mesh.way, mesh.length, out=given[2:4])
    rows = (PATTERN @ given).reshape(7, 6, count)
    if mesh.arms is not None:
        _add_arms(mesh, rows)
    if mesh.turned is not None:
        _turn(mesh, rows)
    return rows


def _pattern() -> Array:
    """(42, 5) the rows of a bay without arms as sums of cosine, sine, both over the length, and one."""
    c, s, c_l, s_l, one = np.eye(5)
    none = np.zeros(5)
    start, start_across = (c, s, none, none, none, none), (-s, c, none, none, none, none)
    end, end_across = (none, none, none, c, s, none), (none, none, none, -s, c, none)
    stretch = (-c, -s, none, c, s, none)
    near, far = (-s_l, c_l, one, s_l, -c_l, none), (-s_l, c_l, none, s_l, -c_l, one)
    return np.array((stretch, near, far, start, start_across, end, end_across)).reshape(42, 5)


PATTERN = _pattern()


def _add_arms(mesh: Mesh, rows: Array) -> None:
    """What the rotation of the nodes does to the ends, in place."""
    assert mesh.arms is not None
    c, s = mesh.cos, mesh.sin
    (x1, y1), (x2, y2) = mesh.arms
    rows[3, 2], rows[4, 2] = s * x1 - c * y1, c * x1 + s * y1
    rows[5, 5], rows[6, 5] = s * x2 - c * y2, c * x2 + s * y2
    rows[0, 2], rows[0, 5] = -rows[3, 2], rows[5, 5]
    rows[1:3, 2] += rows[4, 2] / mesh.length
    rows[1:3, 5] -= rows[6, 5] / mesh.length


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
