"""Loads that may stand anywhere, and loads that may be on or off part by part: further right-hand sides of the one factorisation.

``stances`` and ``standing`` make one case for every place of a roving load; ``patches`` one case for every bay of a spread load. Analyse them
together with the other cases, take their rows (:meth:`solver.response.Table.rows`) and ask ``worst_stance`` or ``worst_patches``: each answers
for one quantity and sign, station by station, with the forces that go with it and where the load then stands. Nothing is enveloped across
quantities: N, V and M of an answer belong together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from .frame import Array, Case, Flags, Frame, LineLoad, Load, NodeLoad, PointLoad
from .mesh import Mesh, mesh
from .table import Table

Quantity: TypeAlias = Literal["n", "v", "m", "ux", "uy", "across"]


@dataclass(frozen=True, slots=True)
class Stance:
    """A place ``at`` mm along a piece from its first end."""

    piece: int
    at: float


@dataclass(frozen=True)
class Worst:
    """For every station the arrangement that takes one quantity furthest one way.

    ``n``, ``v``, ``m``, ``ux``, ``uy``, ``across`` (S,): answers under the arrangement of that station. ``on`` (A, S): alternatives that act.
    """

    on: Flags
    n: Array
    v: Array
    m: Array
    ux: Array
    uy: Array
    across: Array


def stances(frame: Frame, pieces: Sequence[int], per_bay: int = 10) -> tuple[Stance, ...]:
    """Places on the pieces: every node they run through, and ``per_bay`` steps between neighbouring ones."""
    if per_bay < 1:
        raise ValueError(f"per_bay must be 1 or more, not {per_bay}")
    bays, places = mesh(frame), []
    for piece in pieces:
        first, last = bays.first[piece], bays.first[piece + 1]
        steps = bays.at[first:last, None] + bays.length[first:last, None] * np.arange(per_bay) / per_bay
        places += [Stance(piece, float(at)) for at in steps.ravel()]
        places.append(Stance(piece, float(bays.at[last - 1] + bays.length[last - 1])))
    return tuple(places)


def standing(places: Sequence[Stance], fx: float = 0.0, fy: float = 0.0) -> list[Case]:
    """One case a place: the force N stands there."""
    return [(PointLoad(place.piece, place.at, fx, fy),) for place in places]


def patches(frame: Frame, case: Case) -> list[Case]:
    """The case cut at the nodes: one case for each bay a line load covers, and one for each load that stands at one place."""
    bays = mesh(frame)
    cut: dict[tuple[int, ...], list[Load]] = {}
    for load in case:
        if isinstance(load, LineLoad):
            for bay, part in _pieces(bays, load):
                cut.setdefault((0, bay), []).append(part)
        elif isinstance(load, PointLoad):
            cut.setdefault((1, len(cut)), []).append(load)
        elif isinstance(load, NodeLoad):
            cut.setdefault((2, len(cut)), []).append(load)
        else:
            raise ValueError(f"{type(load).__name__} cannot act in part")
    return [tuple(loads) for loads in cut.values()]


def _pieces(bays: Mesh, load: LineLoad) -> list[tuple[int, LineLoad]]:
    parts = []
    run = load.end - load.start
    for bay in range(bays.first[load.piece], bays.first[load.piece + 1]):
        start, end = max(load.start, float(bays.at[bay])), min(load.end, float(bays.at[bay] + bays.length[bay]))
        if end > start:
            share = ((start - load.start) / run, (end - load.start) / run)
            ends = [tuple(a + (b - a) * s for s in share) for a, b in (load.qx, load.qy)]
            parts.append((bay, LineLoad(load.piece, start, end, (ends[0][0], ends[0][1]), (ends[1][0], ends[1][1]))))
    return parts


def worst_stance(alternatives: Table, quantity: Quantity, sign: Literal[1, -1]) -> Worst:
    """Of alternatives that exclude one another (a person is one person) the one that takes the quantity furthest; it always stands somewhere."""
    drive = sign * getattr(alternatives, quantity)
    on = np.zeros(drive.shape, dtype=bool)
    on[drive.argmax(axis=0), np.arange(drive.shape[1])] = True
    return _arranged(alternatives, on)


def worst_patches(alternatives: Table, quantity: Quantity, sign: Literal[1, -1]) -> Worst:
    """Of parts that act or not, each for itself, those that take the quantity further: the parts of one sign of its influence."""
    return _arranged(alternatives, sign * getattr(alternatives, quantity) > 0.0)


def _arranged(alternatives: Table, on: Flags) -> Worst:
    def total(part: Array) -> Array:
        return np.asarray(np.where(on, part, 0.0).sum(axis=0))

    t = alternatives
    return Worst(on, total(t.n), total(t.v), total(t.m), total(t.ux), total(t.uy), total(t.across))
