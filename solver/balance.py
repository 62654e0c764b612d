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

UNIT = np.eye(3)
NOTHING = 1e-300  # N; what a case without forces is compared with


def residual(mesh: Mesh, loads: Loading, ends: Array, lacked: Array, moved: Array, pushed: Array) -> float:
    """Largest imbalance, of free nodes and of the whole, over the largest force of its case; moments by the mean bay and by the frame's size.

    Of what stands on the ends of the bays (6, C, B), what the unknowns lack and how they moved (C, 3 n), and the reactions (C, supports, 3).
    """
    if not len(lacked):
        return 0.0
    turn = len(mesh.length) / float(np.add.reduce(mesh.length))
    lever = np.array((1.0, 1.0, turn) * len(mesh.xy))
    size = float(np.maximum.reduce(np.abs(mesh.xy - mesh.xy[0]), axis=None))
    left = (lacked if mesh.springs is None else lacked + mesh.springs * _unsettled(loads, moved)) * (lever * ~mesh.held)
    worst = np.maximum(_largest(left), _largest(resultant(mesh, loads, pushed) * (1.0, 1.0, 1.0 / size)))
    scale = np.maximum(_largest(lacked * lever), np.maximum.reduce(_largest(ends, 2) * np.array((1.0, 1.0, turn) * 2)[:, None]))
    if loads.strain is not None:  # the forces that a held change of length would call up
        scale = np.maximum(scale, _largest(loads.strain * mesh.ea))
    return float(np.maximum.reduce(worst / np.maximum(scale, NOTHING)))


def _unsettled(loads: Loading, moved: Array) -> Array:
    """(C, 3 n) how far the unknowns moved from where their supports are."""
    return moved if loads.settled is None else moved - loads.settled


def _largest(forces: Array, axis: int = 1) -> Array:
    """Largest size along an axis."""
    return np.asarray(np.maximum.reduce(np.abs(forces), axis=axis))


def resultant(mesh: Mesh, loads: Loading, pushed: Array) -> Array:
    """(C, 3) sum of all loads and reactions (C, supports, 3), and of their moments about the first node; knows nothing of elements."""
    count = len(pushed)
    nodes = np.array([support.node for support in mesh.frame.supports])
    points = np.concatenate((mesh.xy, mesh.xy[nodes])) - mesh.xy[0]
    if mesh.stands is not None:
        points[len(mesh.xy) :] += [support.offset for support in mesh.frame.supports]
    total = np.concatenate((loads.nodal, pushed.reshape(count, -1)), axis=1) @ _carried(points)
    middle = mesh.start - mesh.xy[0][:, None] + mesh.way * (0.5 * mesh.length)
    total += loads.even.reshape(count, -1) @ _spread(middle)
    if loads.ramp is not None:
        total += 0.5 * loads.ramp.reshape(count, -1) @ _spread(middle + mesh.way * (mesh.length / 6.0))
    if len(loads.brackets):
        _add_brackets(mesh, loads.brackets, total, mesh.xy[0])
    return np.asarray(total)


def _carried(points: Array) -> Array:
    """(3 p, 3) what unit forces x, y and a unit moment at each point come to at the origin."""
    carried = np.zeros((len(points), 3, 3))
    carried[:] = UNIT
    carried[:, 1, 2] = points[:, 0]
    carried[:, 0, 2] = -points[:, 1]
    return carried.reshape(-1, 3)


def _spread(places: Array) -> Array:
    """(2 B, 3) what unit forces x, then y, at places (2, B) come to at the first node."""
    spread = np.zeros((2, places.shape[1], 3))
    spread[0, :, 0] = spread[1, :, 1] = 1.0
    spread[0, :, 2], spread[1, :, 2] = -places[1], places[0]
    return spread.reshape(-1, 3)


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
