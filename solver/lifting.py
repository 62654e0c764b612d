"""Bearings that can only push: which of them let go, and by how much the frame lifts off them.

Letting a bearing go is raising its ground until it no longer pushes, so the answers to raising each by 1 mm, solved along with the
load cases, are all that is needed. The heights obey a linear complementarity problem, solved by least-index principal pivoting:
K. G. Murty, Note on a Bard-type scheme for solving the complementarity problem, Opsearch 11 (1974), from memory; finite where the
matrix is positive definite.
"""

from __future__ import annotations

import numpy as np

from .faults import BearingsCycle, NothingHoldsDown
from .frame import Array, Support

ROUNDING = 1e-9  # a bearing pulling less than this share of the largest reaction still pushes
FLOATING = 1e-10  # a set of lifted bearings whose joint stiffness is below this share leaves the frame loose


def lift(supports: tuple[Support, ...], pushing: tuple[int, ...], pushed: Array, raised: Array) -> Array:
    """Heights (K, P) mm, from reactions (K, supports, 3) of combinations and (P, supports, 3) of raising each bearing by 1 mm."""
    push = _along(supports, pushing, pushed)
    matrix = _along(supports, pushing, raised).T  # [i, j]: push at i when j is raised
    floor = -ROUNDING * np.abs(pushed[..., :2]).max(axis=(1, 2), initial=0.0)
    heights = np.zeros(push.shape)
    for row in np.flatnonzero((push < floor[:, None]).any(axis=1)):
        heights[row] = _pivoted(int(row), pushing, push[row], matrix, float(floor[row]))
    return heights


def _along(supports: tuple[Support, ...], pushing: tuple[int, ...], pushed: Array) -> Array:
    """(rows, P) reaction along the positive y axis of each push-only support."""
    turns = np.array([supports[k].inclined for k in pushing])
    here = pushed[:, pushing]
    return np.asarray(here[..., 1] * np.cos(turns) - here[..., 0] * np.sin(turns))


def _pivoted(row: int, pushing: tuple[int, ...], push: Array, matrix: Array, floor: float) -> Array:
    """Least-index pivoting over the sets of lifted bearings; every set is tried at most once."""
    lifted = np.zeros(len(push), dtype=bool)
    seen: set[bytes] = set()
    while lifted.tobytes() not in seen:
        seen.add(lifted.tobytes())
        heights = _heights(pushing, lifted, push, matrix)
        wrong = np.where(lifted, heights < 0.0, push + matrix @ heights < floor)
        if not wrong.any():
            return heights
        lifted[wrong.argmax()] ^= True
    raise BearingsCycle(row)


def _heights(pushing: tuple[int, ...], lifted: np.ndarray, push: Array, matrix: Array) -> Array:
    """Heights of the lifted bearings at which none of them carries anything."""
    heights = np.zeros(len(push))
    chosen = np.flatnonzero(lifted)
    if len(chosen):
        block = matrix[np.ix_(chosen, chosen)]
        scale = 1.0 / np.sqrt(np.abs(block.diagonal()))
        if np.linalg.eigvalsh(block * scale[:, None] * scale).min() < FLOATING:
            raise NothingHoldsDown(tuple(pushing[k] for k in chosen))
        heights[chosen] = -np.linalg.solve(block, push[chosen])
    return heights
