"""What a frame answers: forces and movements along every piece, for load cases and for combinations of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from .bending import LINES, POWERS, bracket_lines
from .elements import axes
from .faults import NonFinite
from .frame import Array, Flags, Index
from .lifting import lift
from .loading import Brackets, Loading
from .mesh import Mesh
from .soundness import condition
from .statics import Equations

BALANCED = 1e-9
DOUBLE_DIGITS = 15.9


@dataclass(frozen=True)
class Layout:
    """Stations (S,), ordered by piece, bay and position. Where a load starts, stops or stands alone a station is added; a point
    load has two at its place, before it and beyond it.

    ``piece``, ``bay`` (counted inside its piece), ``at`` mm along the piece from its first end; ``slices`` one per piece.
    """

    mesh: Mesh
    number: Index  # (S,) bay counted over all pieces
    inside: Array  # (S,) mm from the start of the bay
    beyond: Flags | None  # (S,) a load standing exactly here is already passed; None: no load stops inside a bay
    even: Array  # stations of a bay, as shares of its length
    cuts: tuple[Index, Array]  # bays and places inside them, mm, where loads start, stop or stand

    @cached_property
    def piece(self) -> Index:
        return np.asarray(self.mesh.piece[self.number])

    @cached_property
    def bay(self) -> Index:
        return np.asarray(self.number - self.mesh.first[self.piece])

    @cached_property
    def at(self) -> Array:
        return np.asarray(self.mesh.at[self.number] + self.inside)

    @cached_property
    def edges(self) -> tuple[Index, Index]:
        """First and last station of every bay."""
        bays = np.arange(len(self.mesh.length))
        return np.searchsorted(self.number, bays), np.searchsorted(self.number, bays, side="right") - 1

    @cached_property
    def slices(self) -> tuple[slice, ...]:
        edges = np.searchsorted(self.number, self.mesh.first).tolist()
        return tuple(slice(a, b) for a, b in pairwise(edges))


def layout(mesh: Mesh, brackets: Brackets, stations: int) -> Layout:
    """``stations`` even ones a bay, both ends included, and those that the loads ask for."""
    even = np.linspace(0.0, 1.0, stations)
    bays = len(mesh.length)
    number = np.repeat(np.arange(bays), stations)
    inside = (mesh.length[:, None] * even).ravel()
    if not len(brackets):
        return Layout(mesh, number, inside, None, even, (brackets.bay, brackets.at))
    jump = brackets.order < 0
    beyond = inside < mesh.length[number]
    number = np.concatenate((number, brackets.bay, brackets.bay[jump]))
    inside = np.concatenate((inside, brackets.at, brackets.at[jump]))
    beyond = np.concatenate((beyond, np.ones(len(brackets), dtype=bool), np.zeros(int(jump.sum()), dtype=bool)))
    beyond[inside >= mesh.length[number]] = False
    beyond[inside <= 0.0] = True
    order = np.lexsort((beyond, inside, number))
    number, inside, beyond = number[order], inside[order], beyond[order]
    same = (np.diff(number) == 0) & (np.diff(inside) == 0.0) & (beyond[1:] == beyond[:-1])
    keep = np.concatenate(((True,), ~same))
    return Layout(mesh, number[keep], inside[keep], beyond[keep], even, (brackets.bay, brackets.at))


@dataclass(frozen=True)
class Table:
    """Rows of answers: C load cases or K combinations. N, mm; N tension positive, M positive where the piece sags read from its
    first node, V = dM/dx; displacements and reactions in global axes.

    ``lines`` (rows, 5, S): N, V, M and the displacements along and across the bay. ``moved`` (rows, 3 n), ``pushed`` (rows, supports, 3).
    """

    layout: Layout
    lines: Array
    moved: Array
    pushed: Array

    @property
    def n(self) -> Array:
        """(rows, S) axial force, N, tension positive."""
        return self.lines[:, 0]

    @property
    def v(self) -> Array:
        """(rows, S) shear force dM/dx, N."""
        return self.lines[:, 1]

    @property
    def m(self) -> Array:
        """(rows, S) bending moment, N mm, sagging positive."""
        return self.lines[:, 2]

    @cached_property
    def ux(self) -> Array:
        """(rows, S) displacement of the axis to the right, mm."""
        mesh, number = self.layout.mesh, self.layout.number
        return np.asarray(mesh.cos[number] * self.lines[:, 3] - mesh.sin[number] * self.lines[:, 4])

    @cached_property
    def uy(self) -> Array:
        """(rows, S) displacement of the axis upwards, mm."""
        mesh, number = self.layout.mesh, self.layout.number
        return np.asarray(mesh.sin[number] * self.lines[:, 3] + mesh.cos[number] * self.lines[:, 4])

    @property
    def across(self) -> Array:
        """(rows, S) displacement square to the bay, along its own y axis, mm."""
        return self.lines[:, 4]

    @cached_property
    def displacements(self) -> Array:
        """(rows, nodes, 3) mm, mm, rad of the nodes; a node that nothing rotates with has rotation 0."""
        return _at_nodes(self.layout.mesh, self.moved.reshape(len(self.moved), -1, 3))

    def rows(self, which: slice | Index) -> Table:
        """Some of the rows."""
        return Table(self.layout, self.lines[which], self.moved[which], self.pushed[which])

    @property
    def reactions(self) -> Array:
        """(rows, supports, 3) N, N, N mm on the structure, about the point where the reaction stands."""
        return self.pushed


@dataclass(frozen=True)
class Combined(Table):
    """Combinations. ``lifted`` (K, supports): the push-only bearing has let go."""

    lifted: Flags


@dataclass(frozen=True)
class Response(Table):
    """Load cases, and what is needed to combine them.

    ``residual``: largest imbalance of any free node or of the whole frame over the largest force (moments: times the mean bay).
    ``solved``: the equations and their factor.
    ``raised``: the answers to lifting each push-only bearing by 1 mm, rows in the order of ``pushing``. ``loads`` and ``states`` (the polynomials
    of the bays) hold the cases and then the raised bearings.
    """

    residual: float
    solved: Equations
    pushing: tuple[int, ...]
    raised: Table | None
    loads: Loading
    states: Array

    @property
    def balanced(self) -> bool:
        """Equilibrium holds to 1e-9 of the largest force, at every node and for the whole."""
        return self.residual <= BALANCED

    @property
    def pivot(self) -> float:
        """Smallest pivot of the factorisation over its diagonal term: one over it is a quick lower estimate of the condition."""
        return float(self.solved.factor.pivots.min())

    @cached_property
    def condition(self) -> float:
        """Estimate of the condition of the stiffness scaled to unit diagonal."""
        return condition(self.solved)

    @property
    def digits(self) -> int:
        """Decimal digits of the answer that rounding leaves sure, by the condition. Fewer than six are a warning."""
        return max(0, int(DOUBLE_DIGITS - np.log10(max(self.condition, 1.0))))

    def combine(self, factors: Array) -> Combined:
        """Combinations (K, C) of the cases; where a push-only bearing would pull, it is let go and the frame solved anew.

        Raises NothingHoldsDown when the frame lifts off, BearingsCycle when no set of lifted bearings agrees with itself.
        """
        factors = np.asarray(factors, dtype=float)
        if factors.ndim != 2 or factors.shape[1] != len(self.lines):
            raise ValueError(f"factors must be (K, {len(self.lines)}), not {factors.shape}")
        if not np.isfinite(factors).all():
            raise NonFinite("factors")
        lines, moved, pushed = (_mixed(factors, part) for part in (self.lines, self.moved, self.pushed))
        lifted = np.zeros((len(factors), self.pushed.shape[1]), dtype=bool)
        if self.raised is not None:
            heights = self._heights(factors)
            lifted[:, self.pushing] = heights > 0.0
            if heights.any():
                lines, moved, pushed = (
                    base + _mixed(heights, part)
                    for base, part in ((lines, self.raised.lines), (moved, self.raised.moved), (pushed, self.raised.pushed))
                )
        return Combined(self.layout, lines, moved, pushed, lifted)

    def _heights(self, factors: Array) -> Array:
        if self.raised is None:
            return np.zeros((len(factors), 0))
        return lift(self.layout.mesh.frame, self.pushing, _mixed(factors, self.pushed), self.raised.pushed)

    def at(self, places: Layout) -> Array:
        """(C + raised bearings, 5, S) lines at other stations of the same frame."""
        return along(places, self.loads, self.states)

    def mixed(self, factors: Array, lines: Array) -> Array:
        """(K, 5, S) lines of combinations from those of :meth:`at`, lifting bearings let go."""
        return _mixed(np.concatenate((factors, self._heights(factors)), axis=1), lines)


def _mixed(factors: Array, part: Array) -> Array:
    return np.asarray((factors @ part.reshape(len(part), -1)).reshape(len(factors), *part.shape[1:]))


def along(layout: Layout, loads: Loading, states: Array) -> Array:
    """(C, 5, S) lines at the stations from the polynomials (5, C, B, 6) of the bays and the brackets inside them."""
    if layout.beyond is None:
        powers = layout.even[None, :] ** np.arange(POWERS)[:, None]
        return np.asarray((states.transpose(1, 0, 2, 3) @ powers).reshape(states.shape[1], LINES, -1))
    share = layout.inside / layout.mesh.length[layout.number]
    lines = np.zeros((states.shape[1], LINES, len(share)))
    for power in range(POWERS - 1, -1, -1):
        lines *= share
        lines += states[:, :, layout.number, power].transpose(1, 0, 2)
    _add_brackets(layout, layout.beyond, loads.brackets, lines)
    return lines


def _add_brackets(layout: Layout, beyond: Flags, given: Brackets, lines: Array) -> None:
    """Every bracket with every station of its bay at or beyond its place."""
    edges = np.searchsorted(layout.number, np.arange(len(layout.mesh.length) + 1))
    counts = (edges[1:] - edges[:-1])[given.bay]
    which = np.repeat(np.arange(len(given)), counts)
    station = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts) + edges[given.bay][which]
    distance = layout.inside[station] - given.at[which]
    passed = (distance > 0.0) | ((distance == 0.0) & beyond[station])
    which, station, distance = which[passed], station[passed], distance[passed]
    added = bracket_lines(layout.mesh, given, which, distance)
    place = given.case[which] * lines.shape[2] + station
    for k in range(LINES):
        lines[:, k] += np.bincount(place, added[k], lines.shape[0] * lines.shape[2]).reshape(lines.shape[0], -1)


def reactions(mesh: Mesh, unbalanced: Array) -> Array:
    """(C, supports, 3) in global axes, from what is missing at the unknowns (C, 3 n) for equilibrium."""
    nodes = np.array([support.node for support in mesh.frame.supports], dtype=np.intp)
    held = unbalanced.reshape(len(unbalanced), -1, 3)[:, nodes]
    if mesh.turned is not None:
        cos, sin = axes(mesh)
        c, s = cos[nodes], sin[nodes]
        held[..., 0], held[..., 1] = c * held[..., 0] - s * held[..., 1], s * held[..., 0] + c * held[..., 1]
    return np.asarray(held)


def _at_nodes(mesh: Mesh, moved: Array) -> Array:
    """Unknowns (C, n, 3) as displacements of the nodes in global axes."""
    moved = moved.copy()
    if mesh.turned is not None:
        node, c, s = mesh.turned
        along, across = moved[:, node, 0], moved[:, node, 1]
        moved[:, node, 0], moved[:, node, 1] = c * along - s * across, s * along + c * across
    if mesh.stands is not None:
        node, shift = mesh.stands
        turn = moved[:, node, 2]
        moved[:, node, 0] += turn * shift[:, 1]
        moved[:, node, 1] -= turn * shift[:, 0]
    return moved
