"""What a frame answers: forces and movements along every piece, for load cases and for combinations of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .balance import residual
from .bending import LINES, POWERS, States, bracket_lines
from .elements import axes
from .faults import NonFinite
from .frame import Array, Flags, Index
from .layout import Layout, stations_of
from .lifting import lift
from .loading import SNAP_MM, Loading
from .mesh import Mesh
from .soundness import condition
from .statics import Equations

BALANCED = 1e-9
DOUBLE_DIGITS = 15.9
N, V, M, ALONG, ACROSS = range(LINES)


class Table:
    """Rows of answers: C load cases or K combinations. N, mm; N tension positive, M positive where the piece sags read from its
    first node, V = dM/dx; displacements and reactions in global axes.

    Made of ``parts``: answers with the factors (rows, their rows) by which they are added, None where they stand as they are.
    """

    def __init__(self, layout: Layout, parts: Sequence[tuple[Array | None, Rows]]) -> None:
        self.layout = layout
        self._parts = parts
        self._lines: dict[int, Array] = {}

    def _line(self, which: int) -> Array:
        if which not in self._lines:
            self._lines[which] = _mixed([(factors, rows.lines[which]) for factors, rows in self._parts])
        return self._lines[which]

    def __len__(self) -> int:
        factors, rows = self._parts[0]
        return len(rows.moved if factors is None else factors)

    @property
    def n(self) -> Array:
        """(rows, S) axial force, N, tension positive."""
        return self._line(N)

    @property
    def v(self) -> Array:
        """(rows, S) shear force dM/dx, N."""
        return self._line(V)

    @property
    def m(self) -> Array:
        """(rows, S) bending moment, N mm, sagging positive."""
        return self._line(M)

    @property
    def across(self) -> Array:
        """(rows, S) displacement square to the bay, along its own y axis, mm."""
        return self._line(ACROSS)

    @cached_property
    def ux(self) -> Array:
        """(rows, S) displacement of the axis to the right, mm."""
        mesh, number = self.layout.mesh, self.layout.number
        return np.asarray(mesh.cos[number] * self._line(ALONG) - mesh.sin[number] * self._line(ACROSS))

    @cached_property
    def uy(self) -> Array:
        """(rows, S) displacement of the axis upwards, mm."""
        mesh, number = self.layout.mesh, self.layout.number
        return np.asarray(mesh.sin[number] * self._line(ALONG) + mesh.cos[number] * self._line(ACROSS))

    @cached_property
    def moved(self) -> Array:
        """(rows, 3 n) displacements of the unknowns: see :class:`solver.mesh.Mesh`."""
        return _mixed([(factors, rows.moved) for factors, rows in self._parts])

    @cached_property
    def displacements(self) -> Array:
        """(rows, nodes, 3) mm, mm, rad of the nodes; a node that nothing rotates with has rotation 0."""
        return _at_nodes(self.layout.mesh, self.moved.reshape(len(self), len(self.layout.mesh.xy), 3))

    @cached_property
    def reactions(self) -> Array:
        """(rows, supports, 3) N, N, N mm on the structure, about the point where the reaction stands."""
        return _mixed([(factors, rows.pushed) for factors, rows in self._parts])

    def rows(self, which: slice | Index) -> Table:
        """Some of the rows, as a table."""
        lines = np.stack([self._line(k)[which] for k in range(LINES)])
        return Table(self.layout, [(None, Rows(lines, self.moved[which], self.reactions[which]))])


@dataclass(frozen=True, slots=True)
class Rows:
    """``lines`` (5, rows, S): N, V, M and the displacements along and across the bay. ``moved`` (rows, 3 n), ``pushed`` (rows, supports, 3)."""

    lines: Array
    moved: Array
    pushed: Array

    def __getitem__(self, which: slice) -> Rows:
        return Rows(self.lines[:, which], self.moved[which], self.pushed[which])


class Combined(Table):
    """Combinations. ``lifted`` (K, supports): the push-only bearing has let go."""

    def __init__(self, layout: Layout, parts: Sequence[tuple[Array | None, Rows]], lifted: Flags) -> None:
        super().__init__(layout, parts)
        self.lifted = lifted


class Response(Table):
    """Load cases, and what is needed to combine them and to prove them."""

    def __init__(self, solved: Equations, loads: Loading, found: States, moved: Array, stations: int, pushing: tuple[int, ...]) -> None:
        layout = stations_of(solved.mesh, loads.brackets, stations)
        self.missing = solved.missing(loads, found.ends)
        rows = Rows(along(layout, loads, found.lines), moved, reactions(solved.mesh, self.missing))
        count = len(moved) - len(pushing)
        super().__init__(layout, [(None, rows[:count] if pushing else rows)])
        self.solved, self.loads, self.states, self.pushing = solved, loads, found, pushing
        self.every = rows  # the cases, then the answers to raising each push-only bearing by 1 mm
        self.raised = rows[count:]

    @cached_property
    def residual(self) -> float:
        """Largest imbalance of any free node or of the whole frame over the largest force of its case (moments: by the mean bay)."""
        return residual(self.solved.mesh, self.loads, self.every.moved, self.missing, self.states.ends, self.every.pushed)

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
        factors = self.factors(factors)
        parts: list[tuple[Array | None, Rows]] = [(factors, self._parts[0][1])]
        lifted = np.zeros((len(factors), self.reactions.shape[1]), dtype=bool)
        if self.pushing:
            heights = self._heights(factors)
            lifted[:, self.pushing] = heights > 0.0
            parts.append((heights, self.raised))
        return Combined(self.layout, parts, lifted)

    def factors(self, given: Array) -> Array:
        """Factors checked: (K, C), finite."""
        factors = np.asarray(given, dtype=float)
        if factors.ndim != 2 or factors.shape[1] != len(self):
            raise ValueError(f"factors must be (K, {len(self)}), not {factors.shape}")
        if not np.isfinite(factors).all():
            raise NonFinite("factors")
        return factors

    def _heights(self, factors: Array) -> Array:
        return lift(self.layout.mesh.frame, self.pushing, _mixed([(factors, self.reactions)]), self.raised.pushed)

    def at(self, places: Layout, factors: Array | None = None) -> Array:
        """(5, rows, S) lines at other stations of the same frame, of the cases or of combinations (K, C) with lifting bearings let go."""
        lines = along(places, self.loads, self.states.lines)
        if factors is None:
            return lines[:, : len(self)]
        factors = self.factors(factors)
        if self.pushing:
            factors = np.concatenate((factors, self._heights(factors)), axis=1)
        return np.asarray(factors @ lines)


def _mixed(parts: Sequence[tuple[Array | None, Array]]) -> Array:
    total: Array | None = None
    for factors, part in parts:
        flat = part if factors is None else (factors @ part.reshape(len(part), -1)).reshape(len(factors), *part.shape[1:])
        total = flat if total is None else total + flat
    assert total is not None  # every table has a part
    return total


def along(layout: Layout, loads: Loading, lines: Array) -> Array:
    """(5, C, S) at the stations from the polynomials (5, 6, C, B) of the bays and the brackets inside them."""
    count = lines.shape[2]
    if layout.even:
        powers = layout.shares[:, None] ** np.arange(POWERS)
        stations, bays = len(layout.shares), lines.shape[3]
        found = (powers @ lines.reshape(LINES, POWERS, count * bays)).reshape(LINES, stations, count, bays)
        return found.transpose(0, 2, 3, 1).reshape(LINES, count, bays * stations)
    share = layout.inside / layout.mesh.length[layout.number]
    found = np.zeros((LINES, count, len(share)))
    for power in range(POWERS - 1, -1, -1):
        found *= share
        found += lines[:, power][..., layout.number]
    _add_brackets(layout, loads, found)
    return found


def _add_brackets(layout: Layout, loads: Loading, lines: Array) -> None:
    """Every bracket with every station of its bay at or beyond its place."""
    given = loads.brackets
    edges = np.searchsorted(layout.number, np.arange(len(layout.mesh.length) + 1))
    counts = (edges[1:] - edges[:-1])[given.bay]
    which = np.repeat(np.arange(len(given)), counts)
    station = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts) + edges[given.bay][which]
    distance = layout.inside[station] - given.at[which]
    passed = (distance > SNAP_MM) | ((distance >= -SNAP_MM) & layout.beyond[station])
    which, station, distance = which[passed], station[passed], np.maximum(distance[passed], 0.0)
    added = bracket_lines(layout.mesh, given, which, distance)
    place = given.case[which] * lines.shape[2] + station
    for k in range(LINES):
        lines[k] += np.bincount(place, added[k], lines[k].size).reshape(lines.shape[1:])


def reactions(mesh: Mesh, missing: Array) -> Array:
    """(C, supports, 3) in global axes, from what is missing at the unknowns (C, 3 n) for equilibrium."""
    nodes = [support.node for support in mesh.frame.supports]
    held = missing.reshape(len(missing), len(mesh.xy), 3)[:, nodes]
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
