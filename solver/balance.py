"""The proof that an answer is in equilibrium.

Two sums that know nothing of stiffness and movement: at every node the forces N, V and M with which the bays end, from the terms that they are
reported by, against loads and reactions; and of the whole the loads, as they were laid, against the reactions.
"""

from __future__ import annotations

import numpy as np

from .brackets import Brackets, bracket
from .frame import Array
from .loading import Loading
from .mesh import Mesh

NOTHING = 1e-300  # N; what a case without forces is compared with


def residual(mesh: Mesh, loads: Loading, ends: Array, lacked: Array, moved: Array, pushed: Array) -> float:
    """Largest imbalance, of free nodes and of the whole, over the largest force of its case; moments by the mean bay and by the frame's size.

    Of what stands on the ends of the bays (6, C, B), what the unknowns lack and how they moved (C, 3 n), and the reactions (C, supports, 3).
    """
    if not len(lacked):
        return 0.0
    turn = len(mesh.length) / float(np.add.reduce(mesh.length))
    lever = np.ones(len(mesh.free))
    lever[2::3] = turn
    sizes, pushes = np.abs(lacked * lever), np.abs(ends)
    pushes[2::3] *= turn
    scale = np.maximum(np.maximum.reduce(sizes, axis=1), np.maximum.reduce(np.maximum.reduce(pushes), axis=1))
    if loads.strain is not None:  # the forces that a held change of length would call up
        scale = np.maximum(scale, np.maximum.reduce(np.abs(loads.strain * mesh.ea), axis=1))
    if loads.settled is not None:  # and one that moves its supports and strains nothing
        scale = np.maximum(scale, np.maximum.reduce(np.abs(loads.settled), axis=1) * float(np.maximum.reduce(mesh.ea / mesh.length)))
    if mesh.springs is not None:
        sizes = np.abs((lacked + mesh.springs * _unsettled(loads, moved)) * lever)
    sizes[:, mesh.held] = 0.0
    places = mesh.xy - mesh.xy[0]
    whole = np.abs(resultant(mesh, loads, pushed, places))
    whole[:, 2] /= float(np.maximum.reduce(np.abs(places), axis=None))
    worst = np.maximum.reduce(np.concatenate((sizes, whole), axis=1), axis=1)
    return float(np.maximum.reduce(worst / np.maximum(scale, NOTHING)))


def _unsettled(loads: Loading, moved: Array) -> Array:
    """(C, 3 n) how far the unknowns moved from where their supports are."""
    return moved if loads.settled is None else moved - loads.settled


def resultant(mesh: Mesh, loads: Loading, pushed: Array, places: Array) -> Array:
    """(C, 3) sum of all loads and reactions (C, supports, 3), and of their moments about the first node, from which the nodes have their places
    (n, 2); knows nothing of elements."""
    count, origin = len(pushed), mesh.xy[0]
    points = np.concatenate((places, places.take([support.node for support in mesh.supports], axis=0)))
    if mesh.stands is not None:
        points[len(mesh.xy) :] += [support.offset for support in mesh.supports]
    middle = mesh.way * (0.5 * mesh.length)
    middle += mesh.start - origin[:, None]
    given = np.concatenate((loads.nodal, pushed.reshape(count, -1), loads.even.reshape(count, -1)), axis=1)
    total = given @ _levers(points, middle)
    if loads.ramp is not None:
        total += 0.5 * loads.ramp.reshape(count, -1) @ _levers(points[:0], middle + mesh.way * (mesh.length / 6.0))
    if len(loads.brackets):
        _add_brackets(mesh, loads.brackets, total, origin)
    return np.asarray(total)


def _levers(points: Array, places: Array) -> Array:
    """(3 p + 2 B, 3) what unit forces x, y and a unit moment at every point (p, 2), then unit forces x at places (2, B), then y, come to."""
    at, bays = 3 * len(points), places.shape[1]
    levers = np.zeros((at + 2 * bays, 3))
    levers[0:at:3, 0] = levers[1:at:3, 1] = levers[2:at:3, 2] = 1.0
    levers[at:-bays, 0] = levers[-bays:, 1] = 1.0
    levers[1:at:3, 2], levers[-bays:, 2] = points[:, 0], places[0]
    np.negative(points[:, 1], out=levers[0:at:3, 2])
    np.negative(places[1], out=levers[at:-bays, 2])
    return levers


def _add_brackets(mesh: Mesh, given: Brackets, total: Array, about: Array) -> None:
    run = mesh.length[given.bay] - given.at
    force, first = bracket(run, given.order + 1), bracket(run, given.order + 2)
    reach = np.where(given.order > -2, run * force - first, -1.0)  # moment of a unit bracket about its own place
    c, s = mesh.cos[given.bay], mesh.sin[given.bay]
    x, y = mesh.start[:, given.bay] - about[:, None]
    x, y = x + c * given.at, y + s * given.at
    fx, fy = (c * given.axial - s * given.across) * force, (s * given.axial + c * given.across) * force
    for axis, part in enumerate((fx, fy, x * fy - y * fx + given.across * reach)):
        total[:, axis] += np.bincount(given.case, part, len(total))
