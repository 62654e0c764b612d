"""The proof that an answer is in equilibrium."""

from __future__ import annotations

import numpy as np

from .bending import States
from .brackets import Brackets, bracket
from .frame import Array
from .mesh import Mesh


def residual(found: States, pushed: Array) -> float:
    """Largest imbalance, of free nodes and of the whole, over the largest force of its case; moments by the mean bay and by the frame's size."""
    mesh, loads, moved, missing = found.mesh, found.loads, found.moved, found.missing
    if not len(missing):
        return 0.0
    arm = float(np.add.reduce(mesh.length)) / len(mesh.length)
    if mesh.springs is not None:
        missing = missing + mesh.springs * (moved if loads.settled is None else moved - loads.settled)
    lever = np.where(mesh.held.reshape(-1, 3), 0.0, (1.0, 1.0, 1.0 / arm)).ravel()
    worst = _largest(missing * lever)
    size = float(np.maximum.reduce(np.maximum.reduce(mesh.xy) - np.minimum.reduce(mesh.xy)))
    whole = _largest(resultant(found, pushed) * (1.0, 1.0, 1.0 / size))
    turns = (1.0, 1.0, 1.0 / arm)
    sizes = (found.basic.swapaxes(0, 1) * np.array(((1.0,), (1.0 / arm,), (1.0 / arm,))), pushed * turns, found.held.stands)
    scale = _largest(np.concatenate([part.reshape(len(missing), -1) for part in sizes], axis=1))
    if loads.strain is not None:  # the forces that a held change of length would call up
        scale = np.maximum(scale, _largest(loads.strain * mesh.ea))
    return float(np.maximum.reduce(np.maximum(worst, whole) / np.where(scale > 0.0, scale, 1.0)))


def _largest(parts: Array) -> Array:
    """(C,) largest size in each case."""
    return np.asarray(np.maximum.reduce(np.abs(parts).reshape(len(parts), -1), axis=1, initial=0.0))


def resultant(found: States, pushed: Array) -> Array:
    """(C, 3) sum of all loads and reactions (C, supports, 3), and of their moments about the first node; knows nothing of elements."""
    mesh, loads, count = found.mesh, found.loads, len(pushed)
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
    carried[:] = np.eye(3)
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
