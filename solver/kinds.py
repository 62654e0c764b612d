"""Loads checked and sorted by kind, as rows of numbers."""

from __future__ import annotations

from array import array
from collections.abc import Sequence
from math import inf, isfinite

import numpy as np

from .checks import STRAIGHT_MM
from .faults import BadLoad, NonFinite
from .frame import Array, Case, LengthChange, LineLoad, Load, NodeLoad, PointLoad, SettlementLoad
from .mesh import Mesh

SNAP_MM = 1e-7  # a load that starts or stops this close to a node does so at the node
KINDS = {"line": "line", "point": "point", "strain": "length change", "settlement": "settlement"}


class Rows:
    """Rows of numbers by kind of load, each beginning with its case.

    Even loads over whole pieces, by far the most, are summed at once: ``even`` (C, 2, P) N/mm; and so are those on nodes: ``node`` (C, 3 n).
    """

    __slots__ = ("even", "line", "mesh", "node", "point", "reach", "settlement", "strain")

    def __init__(self, mesh: Mesh, cases: Sequence[Case]) -> None:
        self.mesh = mesh
        self.reach: list[float] = mesh.reach.tolist()
        self.even = array("d", bytes(16 * len(cases) * len(self.reach)))
        self.node = array("d", bytes(8 * len(cases) * len(mesh.free)))
        self.line: list[tuple[float, ...]] = []
        self.point: list[tuple[float, ...]] = []
        self.strain: list[tuple[float, ...]] = []
        self.settlement: list[tuple[float, ...]] = []
        self._sort(cases)

    def _sort(self, cases: Sequence[Case]) -> None:
        """Every load to its kind; even ones over whole pieces, but for what is snapped to the ends, are added up on the way."""
        even, reach, pieces = self.even, self.reach, len(self.reach)
        for c, case in enumerate(cases):
            x = 2 * c * pieces
            for k, load in enumerate(case):
                if not isinstance(load, LineLoad):
                    self._other(c, k, load)
                    continue
                piece, (qx, rx), (qy, ry) = load.piece, load.qx, load.qy
                if not 0 <= piece < pieces:
                    raise BadLoad(c, k, f"no piece {piece}")
                whole = -STRAIGHT_MM <= load.start < SNAP_MM and -SNAP_MM < load.end - reach[piece] <= STRAIGHT_MM
                if not (whole and qx == rx and qy == ry and -inf < qx + qy < inf):
                    self._part(c, k, load)
                    continue
                if qx:
                    even[x + piece] += qx
                if qy:
                    even[x + pieces + piece] += qy

    def _part(self, c: int, k: int, load: LineLoad) -> None:
        """One load that is uneven or does not cover its piece."""
        _check_place(c, k, load.start, load.end, self.reach[load.piece])
        self.line.append((c, load.piece, load.start, load.end, *load.qx, *load.qy))

    def _other(self, c: int, k: int, load: Load) -> None:
        """One load that is not spread along a piece."""
        if isinstance(load, NodeLoad):
            _check_node(c, k, load, self.mesh)
            self._node(c * len(self.mesh.free) + 3 * load.node, load)
        elif isinstance(load, SettlementLoad):
            _check_settlement(c, k, load, self.mesh)
            self.settlement.append((c, load.support, load.x, load.y, load.rotation))
        elif not 0 <= load.piece < len(self.reach):
            raise BadLoad(c, k, f"no piece {load.piece}")
        elif isinstance(load, PointLoad):
            _check_place(c, k, load.at, load.at, self.reach[load.piece])
            self.point.append((c, load.piece, load.at, load.fx, load.fy, load.m))
        elif isinstance(load, LengthChange):
            self._strain(c, k, load)

    def _node(self, place: int, load: NodeLoad) -> None:
        self.node[place] += load.fx
        self.node[place + 1] += load.fy
        self.node[place + 2] += load.m

    def _strain(self, case: int, number: int, load: LengthChange) -> None:
        """One change of length, as a row of each bay that it changes."""
        first, stop = self.mesh.first[load.piece], self.mesh.first[load.piece + 1]
        if load.bay is not None and not 0 <= load.bay < stop - first:
            raise BadLoad(case, number, f"no bay {load.bay} of piece {load.piece}")
        bays = range(first, stop) if load.bay is None else (first + load.bay,)
        self.strain += [(case, bay, load.strain) for bay in bays]

    def table(self, kind: str) -> Array:
        """The rows of one of :data:`KINDS`, finite."""
        table = np.array(getattr(self, kind), dtype=float)
        if not np.isfinite(table).all():
            raise NonFinite(f"loads ({KINDS[kind]})")
        return table


def _check_place(case: int, load: int, start: float, end: float, reach: float) -> None:
    if start < -STRAIGHT_MM or end > reach + STRAIGHT_MM or end < start:
        raise BadLoad(case, load, f"{start} to {end} mm does not lie on a piece of {reach} mm")


def _check_node(case: int, load: int, given: NodeLoad, mesh: Mesh) -> None:
    if not 0 <= given.node < len(mesh.xy):
        raise BadLoad(case, load, f"no node {given.node}")
    turn = 3 * given.node + 2
    if not (isfinite(given.fx) and isfinite(given.fy) and isfinite(given.m)):
        raise NonFinite("loads (node)")
    if given.m and not (mesh.free[turn] or mesh.held[turn]):
        raise BadLoad(case, load, f"a moment on node {given.node}, which nothing rotates with")


def _check_settlement(case: int, load: int, given: SettlementLoad, mesh: Mesh) -> None:
    if not 0 <= given.support < len(mesh.supports):
        raise BadLoad(case, load, f"no support {given.support}")
    base = 3 * mesh.supports[given.support].node
    for axis, (name, value) in enumerate((("x", given.x), ("y", given.y), ("rotation", given.rotation))):
        sprung = mesh.springs is not None and mesh.springs[base + axis]
        if value and not (mesh.held[base + axis] or sprung):
            raise BadLoad(case, load, f"support {given.support} neither holds nor springs {name}")
