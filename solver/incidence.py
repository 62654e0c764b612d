"""How bays hang on the unknowns: what forces of bays come to there, and what bays feel when the unknowns move."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from .frame import Array, Index
from .mesh import Mesh

BLOCK = 100_000  # numbers worked on at a stretch


def felt(mesh: Mesh, rows: Array, moved: Array) -> Array:
    """(r, C, B) what rows (r, 6, B) of the bays read from movements (C, 3 n) of the unknowns."""
    unknowns = mesh.unknowns
    if len(moved) * unknowns.size <= BLOCK:
        return np.asarray(np.einsum("rab,cab->rcb", rows, moved.take(unknowns, axis=1)))
    found = np.empty((len(rows), len(moved), unknowns.shape[1]))
    for some in blocks(len(moved), unknowns.size):
        np.einsum("rab,cab->rcb", rows, moved[some].take(unknowns, axis=1), out=found[:, some])
    return found


def against(rows: Array, forces: Array) -> Array:
    """(6, C, B) forces against the unknowns, of forces (r, C, B) against rows (r, 6, B)."""
    found = np.empty((6, *forces.shape[1:]))
    for some in blocks(forces.shape[1], rows[0].size):
        np.einsum("rab,rcb->acb", rows, forces[:, some], out=found[:, some])
    return found


def gather(mesh: Mesh, ends: Array) -> Array:
    """Sum (6, C, B) forces at the bays' ends onto the unknowns (C, 3 n)."""
    count, unknowns = ends.shape[1], len(mesh.free)
    place = mesh.unknowns[:, None] + np.arange(0, count * unknowns, unknowns)[:, None]
    return summed(place.ravel(), ends, count * unknowns).reshape(count, unknowns)


def summed(place: Index, parts: Array, size: int) -> Array:
    """(size,) sums of parts that share a place."""
    return np.bincount(place, parts.ravel(), size).astype(np.float64, copy=False)


def blocks(count: int, size: int) -> Iterator[slice]:
    """Slices of ``count`` rows of ``size`` numbers that stay in the processor's cache and never take long at a stretch."""
    step = max(1, BLOCK // size)
    return (slice(k, k + step) for k in range(0, count, step))
