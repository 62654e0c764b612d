"""The polar modulus of an area about a point, ∫ r dA, in closed form over a polygon."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def polar_modulus(corners: Floats, about: tuple[float, float]) -> float:
    """∫ r dA in mm³ over a simple polygon. corners: (n, 2) mm, in order, the first not repeated; about: where r is measured from.

    Every edge makes a triangle with the point. At distance h from the edge's line, ∫ r dA = h³/3 ∫ sec³φ dφ between the directions to its
    ends, and ∫ sec³φ dφ = (secφ tanφ + ln|secφ + tanφ|)/2; triangles count by the sense in which they are gone round.
    """
    start = corners - np.asarray(about)
    end = np.roll(start, -1, axis=0)
    edge = end - start
    length = np.hypot(edge[:, 0], edge[:, 1])
    turn = start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]
    some = (length > 0.0) & (np.abs(turn) > 0.0)
    start, end, edge, length, turn = start[some], end[some], edge[some], length[some], turn[some]
    h = np.abs(turn) / length
    along = edge / length[:, None]
    first, last = (start * along).sum(axis=1) / h, (end * along).sum(axis=1) / h
    return abs(float((np.sign(turn) * h**3 / 6.0 * (_twice_sec_cubed(last) - _twice_sec_cubed(first))).sum()))


def _twice_sec_cubed(tangent: Floats) -> Floats:
    """2 ∫ sec³φ dφ from 0 to the angle with this tangent."""
    return np.asarray(tangent * np.sqrt(1.0 + tangent**2) + np.arcsinh(tangent), dtype=np.float64)
