"""The proof that an answer is in equilibrium."""

from __future__ import annotations

import numpy as np

from .frame import Array
from .loading import Loading, resultant
from .mesh import Mesh


def residual(mesh: Mesh, loads: Loading, moved: Array, missing: Array, ends: Array, pushed: Array) -> float:
    """Largest imbalance, of free nodes and of the whole, over the largest force of its case; moments by the mean bay and by the frame's size.

    ``missing`` (C, 3 n): forces of the bays on the nodes less the loads, which at a free node is zero but for its springs.
    """
    arm = float(mesh.length.mean())
    sprung = missing if mesh.springs is None else missing + mesh.springs * (moved if loads.settled is None else moved - loads.settled)
    loose = np.where(mesh.held, 0.0, sprung).reshape(len(missing), -1, 3)
    scale = _scale(mesh, loads, ends, pushed, arm)
    worst = np.abs(loose / (1.0, 1.0, arm)).max(axis=(1, 2))
    whole = np.abs(_whole(mesh, loads, pushed) / (1.0, 1.0, float(np.ptp(mesh.xy, axis=0).max()))).max(axis=1)
    return float((np.maximum(worst, whole) / np.where(scale > 0.0, scale, 1.0)).max(initial=0.0))


def _scale(mesh: Mesh, loads: Loading, ends: Array, pushed: Array, arm: float) -> Array:
    """(C,) largest force: at the bays' ends, in the supports, or such as holds back a change of length."""
    scale = np.abs(ends[:, [0, 1, 3, 4]]).max(axis=(1, 2))
    scale = np.maximum(scale, np.abs(ends[:, [2, 5]]).max(axis=(1, 2)) / arm)
    scale = np.maximum(scale, np.abs(pushed[..., :2]).max(axis=(1, 2), initial=0.0))
    if loads.strain is not None:
        scale = np.maximum(scale, np.abs(loads.strain * mesh.ea).max(axis=1))
    return np.asarray(scale)


def _whole(mesh: Mesh, loads: Loading, pushed: Array) -> Array:
    """(C, 3) sum of loads and reactions, moments about the middle of the nodes; knows nothing of elements."""
    about = mesh.xy.mean(axis=0)
    stand = np.array([mesh.xy[s.node] + s.offset for s in mesh.frame.supports]) - about
    turn = stand[:, 0] * pushed[..., 1] - stand[:, 1] * pushed[..., 0] + pushed[..., 2]
    total = np.stack((pushed[..., 0], pushed[..., 1], turn), axis=-1).sum(axis=1)
    return np.asarray(total + resultant(mesh, loads, about))
