"""The straight bay as an element: three basic forces, four numbers of stiffness, any end joint, shear and eccentric ends.

Basic forces: mean axial force N (tension +), and the end moments m1, m2 on the bay (counter-clockwise +). They answer the
elongation and the end rotations against the chord. All that an analysis needs of a bay in line with its nodes is linear in a few products of
these numbers with its cosine and sine, by :data:`solver.patterns.PATTERN`.
Theory: Przemieniecki, Theory of Matrix Structural Analysis (1968), from memory.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from .frame import Array
from .mesh import Mesh
from .patterns import HINGED, MIXED, NUMBERS, PAIRS, PLACES, PRODUCTS, ROWS, SCALES, SHAPES, SQUARE, TURNED, TWICE


class Elements(NamedTuple):
    """Bays against their six unknowns.

    ``numbers`` (12, B): see :func:`solver.patterns.table`. ``pairs`` (21, B): stiffness of each of :data:`solver.patterns.PAIRS` of unknowns.
    ``reads`` (3, 6, B): mean N, V and m1 that unit movements call for. ``lays`` (2, 11, B): what unit forces in x and y, spread evenly over a
    bay that cannot move, lay on its unknowns (6), and the first sources of its N, V and M (5).
    """

    mesh: Mesh
    numbers: Array
    pairs: Array
    reads: Array
    lays: Array

    @property
    def basic(self) -> Array:
        """(4, B) EA/L, k11, k12, k22."""
        return np.asarray(self.numbers[[9, 0, 1, 2]])

    @property
    def shape(self) -> Array:
        """(3, 6, B) basic deformations from the unknowns: elongation and both end rotations against the chord."""
        return _rows(self.mesh, SHAPES)

    @property
    def place(self) -> Array:
        """(4, 6, B) movements u, w of the start and of the end, along and across the bay."""
        return _rows(self.mesh, PLACES)

    @property
    def stress(self) -> Array:
        """(3, 6, B) basic forces from the unknowns."""
        return _stress(self.basic, self.shape)

    def stiffness(self) -> Array:
        """(6, 6, B) stiffness against the unknowns."""
        return np.asarray(self.pairs.take(SQUARE, axis=0))


def elements(mesh: Mesh) -> Elements:
    """Elements of all bays of the mesh."""
    products = np.empty((2 * (PRODUCTS + len(MIXED)), len(mesh.length)))
    numbers = products[:NUMBERS]
    if mesh.shear is None and not mesh.sprung:
        _plain(mesh, numbers)
    else:
        _flexible(mesh, numbers)
    _multiply(mesh, products)
    found = products.take(ROWS, axis=0)
    parts = Elements(mesh, numbers, found[:21], found[21:39].reshape(3, 6, -1), found[39:].reshape(2, 11, -1))
    return parts if mesh.arms is None and mesh.turned is None else _eccentric(parts)


def _plain(mesh: Mesh, numbers: Array) -> None:
    """The numbers (12, B) of bays without shear whose joints are rigid or pinned."""
    length, scales = mesh.length, np.empty((6, len(mesh.length)))
    stiff = np.divide(mesh.ei, length, out=scales[0])
    scales[1] = length
    np.divide(mesh.ea, length, out=scales[2])
    np.divide(np.divide(stiff, length, out=scales[5]), length, out=scales[3])
    scales[4] = 1.0
    np.multiply(HINGED.take(mesh.hinges, axis=1), scales.take(SCALES, axis=0), out=numbers)


def _flexible(mesh: Mesh, numbers: Array) -> None:
    """The same with any joints and shear: rigid, sprung and pinned differ only in two numbers between 0 and 1, the share of rigidity."""
    length = mesh.length
    far = length / mesh.ei / -6.0  # rotation of an end under a unit moment on the other end, and under its own
    near = -2.0 * far
    if mesh.shear is not None:
        slide = mesh.shear / length
        near += slide
        far += slide
    share = near / (near + mesh.joints) if mesh.sprung else RIGID.take(mesh.hinges, axis=1)
    both = far * share[0] * share[1]
    np.multiply(share, near, out=numbers[:3:2])
    np.negative(both, out=numbers[1])
    numbers[:3] /= near * near - far * both
    _fill(mesh, numbers)


RIGID = np.array(((1.0, 1.0, 0.0, 0.0), (1.0, 0.0, 1.0, 0.0)))


def _fill(mesh: Mesh, numbers: Array) -> None:
    """All numbers from the first three, in place."""
    length = numbers[3] = mesh.length
    numbers[4] = 1.0
    stiff, moments, sums = numbers[:3], numbers[5:7], numbers[7:9]
    np.subtract(stiff[1:], stiff[:2], out=moments)
    moments *= length * length / (24.0 * mesh.ei)
    np.add(stiff[:2], stiff[1:], out=sums)
    sums /= length
    np.divide(mesh.ea, length, out=numbers[9])
    np.add(numbers[5:8:2], numbers[6:9:2], out=numbers[11:9:-1])
    numbers[10:] /= length


def _multiply(mesh: Mesh, products: Array) -> None:
    """After the numbers their products (42, B) of :func:`solver.patterns.table`, those mixed of them, and the negatives of both, in place.

    Rows are repeated by looking them up and then multiplied one by one: of a few bays that takes less than spreading them.
    """
    half, ways = len(products) // 2, mesh.way.take(WAYS, axis=0)
    once, twice = products[NUMBERS:TWICE], products[TWICE:PRODUCTS]
    np.multiply(products.take(ONCE, axis=0), ways, out=once)
    np.multiply(products.take(AGAIN, axis=0), ways[: len(twice)], out=twice)
    np.dot(MIXED, products[:PRODUCTS], out=products[PRODUCTS:half])
    np.negative(products[:half], out=products[half:])


ONCE, AGAIN = np.arange(TURNED, NUMBERS).repeat(2), np.arange(TWICE - (PRODUCTS - TWICE) // 2, TWICE).repeat(2)
WAYS = np.arange(len(ONCE)) % 2  # cosine, sine


def _eccentric(parts: Elements) -> Elements:
    """The same with bays on rigid arms or in the axes of inclined supports."""
    mesh, shape, place = parts.mesh, parts.shape, parts.place
    stress = _stress(parts.basic, shape)
    pairs = np.einsum("rab,rcb->acb", shape, stress).reshape(36, -1)[PAIRS]
    reads = np.array((stress[0], (stress[1] + stress[2]) / mesh.length, stress[1]))
    moments, (c, s) = parts.numbers[5:7], mesh.way
    along, across = 0.5 * (place[:2] + place[2:]) - (np.zeros(shape[0].shape), moments[0] * shape[1] + moments[1] * shape[2])
    lays = parts.lays.copy()
    lays[0, :6], lays[1, :6] = c * along - s * across, s * along + c * across
    return Elements(mesh, parts.numbers, pairs, reads, lays)


def _stress(basic: Array, shape: Array) -> Array:
    axial, k11, k12, k22 = basic
    return np.array((axial * shape[0], k11 * shape[1] + k12 * shape[2], k12 * shape[1] + k22 * shape[2]))


def _rows(mesh: Mesh, pattern: Array) -> Array:
    """(r, 6, B) rows of a pattern, arms and inclined axes included."""
    given = np.concatenate((mesh.way, mesh.way / mesh.length, np.ones((1, len(mesh.length)))))
    rows = (pattern @ given).reshape(-1, 6, len(mesh.length))
    if mesh.arms is not None:
        (_add_arms if pattern is SHAPES else _place_arms)(mesh, rows)
    if mesh.turned is not None:
        _turn(mesh, rows)
    return rows


def _levers(mesh: Mesh) -> tuple[Array, Array]:
    """(2, B) twice: what a unit turn of the nodes moves start and end of the bay by, along it and across it."""
    assert mesh.arms is not None
    (c, s), (x, y) = mesh.way, mesh.arms.swapaxes(0, 1)
    return s * x - c * y, c * x + s * y


def _place_arms(mesh: Mesh, rows: Array) -> None:
    """What the rotation of the nodes does to the ends, in place."""
    along, across = _levers(mesh)
    rows[0, 2], rows[1, 2] = along[0], across[0]
    rows[2, 5], rows[3, 5] = along[1], across[1]


def _add_arms(mesh: Mesh, rows: Array) -> None:
    """What the rotation of the nodes does to the deformations, in place."""
    along, across = _levers(mesh)
    rows[0, 2], rows[0, 5] = -along[0], along[1]
    rows[1:, 2] += across[0] / mesh.length
    rows[1:, 5] -= across[1] / mesh.length


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
