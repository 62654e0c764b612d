"""The proof that an answer is in equilibrium."""

from __future__ import annotations

import numpy as np

from .brackets import Brackets, bracket
from .frame import Array
from .loading import Loading
from .mesh import Mesh


def residual(mesh: Mesh, loads: Loading, moved: Array, missing: Array, ends: Array, pushed: Array) -> float:
    """Largest imbalance, of free nodes and of the whole, over the largest force of its case; moments by the mean bay and by the frame's size.

    ``missing`` (C, 3 n): forces of the bays on the nodes less the loads, which at a free node is zero but for its springs.
    """
    if not len(missing):
        return 0.0
    arm = float(np.add.reduce(mesh.length)) / len(mesh.length)
    sprung = missing if mesh.springs is None else missing + mesh.springs * (moved if loads.settled is None else moved - loads.settled)
    lever = np.array((1.0, 1.0, 1.0 / arm) * len(mesh.xy))
    worst = _largest((sprung * lever)[:, ~mesh.held])
    size = float(np.maximum.reduce(np.maximum.reduce(mesh.xy) - np.minimum.reduce(mesh.xy)))
    whole = _largest(_whole(mesh, loads, pushed) * np.array((1.0, 1.0, 1.0 / size)))
    force = np.array((1.0, 1.0, 1.0 / arm))
    scale = np.maximum(_largest(ends * np.concatenate((force, force))[:, None]), _largest(pushed * force))
    if loads.strain is not None:  # the forces that a held change of length would call up
        scale = np.maximum(scale, _largest(loads.strain * mesh.ea))
    return float(np.maximum.reduce(np.maximum(worst, whole) / np.where(scale > 0.0, scale, 1.0)))


def _largest(parts: Array) -> Array:
    """(C,) largest size in each case."""
    return np.asarray(np.maximum.reduce(np.abs(parts).reshape(len(parts), -1), axis=1, initial=0.0))


def _whole(mesh: Mesh, loads: Loading, pushed: Array) -> Array:
    """(C, 3) sum of loads and reactions, moments about the first node; knows nothing of elements."""
    about = mesh.xy[0]
    stand = mesh.xy[[s.node for s in mesh.frame.supports]] - about
    if mesh.stands is not None:
        stand += [s.offset for s in mesh.frame.supports]
    total = resultant(mesh, loads, about) + pushed.sum(axis=1)
    total[:, 2] += pushed[..., 1] @ stand[:, 0] - pushed[..., 0] @ stand[:, 1]
    return np.asarray(total)


def resultant(mesh: Mesh, loads: Loading, about: Array) -> Array:
    """(C, 3) sum of all loads, and of their moments about a point."""
    length, c, s = mesh.length, mesh.cos, mesh.sin
    half = 0.5 * length * length
    level, slope = loads.whole[:, 0], loads.whole[:, 1]
    force = level * length + slope * half
    first = level[1] @ half + slope[1] @ (half * length / 1.5)
    x, y = mesh.start - about[:, None]
    total = force[0] @ np.array((c, s, x * s - y * c)).T + force[1] @ np.array((-s, c, x * c + y * s)).T
    nodal = loads.nodal.reshape(len(total), len(mesh.xy), 3)
    arm = mesh.xy - about
    total += nodal.sum(axis=1)
    total[:, 2] += first + nodal[..., 1] @ arm[:, 0] - nodal[..., 0] @ arm[:, 1]
    if len(loads.brackets):
        _add_brackets(mesh, loads.brackets, total, about)
    return np.asarray(total)


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
