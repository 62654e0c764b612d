"""The frame as a plane graph: its panels, and whether they are all triangles."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import atan2

import numpy as np

from .frame import Array, Frame


def panels(xy: Array, edges: Iterable[tuple[int, int]]) -> list[tuple[int, ...]]:
    """Bounded faces of a plane graph as rings of node indices, counter-clockwise, dangling edges pruned.

    Edges are taken not to cross between nodes. Every face starts at its lowest index; faces are sorted.
    """
    around = _pruned(edges)
    at: list[list[float]] = xy.tolist()
    turn = {node: sorted(others, key=lambda o: atan2(at[o][1] - at[node][1], at[o][0] - at[node][0])) for node, others in around.items()}
    waiting = {(a, b) for a, others in around.items() for b in others}
    faces = []
    while waiting:
        ring = _walked(min(waiting), turn)
        waiting.difference_update(zip(ring, ring[1:] + ring[:1], strict=True))
        if _area([at[node] for node in ring]) > 0.0:
            low = ring.index(min(ring))
            faces.append(tuple(ring[low:] + ring[:low]))
    return sorted(faces)


def fully_triangulated(frame: Frame) -> bool:
    """Every panel between the pieces is a triangle: no bay acts as part of a portal or of a panel without a diagonal.

    A node is a corner of a panel unless one piece runs through it along the panel's side.
    """
    xy = np.asarray(frame.xy, dtype=float)
    faces = panels(xy, [edge for piece in frame.pieces for edge in pairwise(piece.nodes)])
    runs = {run for piece in frame.pieces for run in zip(piece.nodes, piece.nodes[1:], piece.nodes[2:])}  # noqa: B905 - shifted on purpose
    return bool(faces) and all(_corners(face, runs) == 3 for face in faces)


def _corners(face: tuple[int, ...], runs: set[tuple[int, int, int]]) -> int:
    around = zip(face[-1:] + face[:-1], face, face[1:] + face[:1], strict=True)
    return sum(run not in runs and run[::-1] not in runs for run in around)


def _pruned(edges: Iterable[tuple[int, int]]) -> dict[int, set[int]]:
    around: dict[int, set[int]] = {}
    for a, b in edges:
        around.setdefault(a, set()).add(b)
        around.setdefault(b, set()).add(a)
    loose = [node for node, others in around.items() if len(others) == 1]
    while loose:
        node = loose.pop()
        for other in around.pop(node, set()):
            around[other].discard(node)
            if len(around[other]) == 1:
                loose.append(other)
            elif not around[other]:
                del around[other]
    return around


def _walked(edge: tuple[int, int], turn: dict[int, list[int]]) -> list[int]:
    """Ring of the face to the left of an edge: at every node take the next edge clockwise from where we came."""
    ring, (a, b) = [edge[0]], edge
    while b != edge[0] or _next(a, b, turn) != edge[1]:
        ring.append(b)
        a, b = b, _next(a, b, turn)
    return ring


def _next(a: int, b: int, turn: dict[int, list[int]]) -> int:
    spokes = turn[b]
    return spokes[spokes.index(a) - 1]


def _area(corners: list[list[float]]) -> float:
    return sum(x * up - along * y for (x, y), (along, up) in zip(corners, corners[1:] + corners[:1], strict=True))
