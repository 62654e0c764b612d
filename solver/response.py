"""What a frame answers: forces and movements along every piece, for load cases and for combinations of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from .balance import residual
from .bending import LINES, Lines, States, bracket_lines
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


class Rows(Protocol):
    """Answers to mix: lines at the stations, ``moved`` (rows, 3 n) and ``pushed`` (rows, supports, 3)."""

    @property
    def moved(self) -> Array: ...
    @property
    def pushed(self) -> Array: ...
    def line(self, which: int, factors: Array | None) -> Array:
        """(rows, S) N, V, M or a displacement along or across the bay, as it stands or mixed by factors (K, rows)."""
        ...


class Table:
    """Rows of answers: C load cases or K combinations. N, mm; N tension positive, M positive where the piece sags read from its
    first node, V = dM/dx; displacements and reactions in global axes. Each is worked out when it is first asked for.

    Made of ``count`` answers: ``rows`` mixed by ``factors``, or the first of them as they stand.
    """

    def __init__(self, layout: Layout, rows: Rows, factors: Array | None, count: int) -> None:
        self.layout = layout
        self._rows, self._factors, self._count = rows, factors, count
        self._lines: dict[int, Array] = {}

    def _line(self, which: int) -> Array:
        if which not in self._lines:
            self._lines[which] = self._rows.line(which, self._factors)[: self._count]
        return self._lines[which]

    def __len__(self) -> int:
        return self._count

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
        return _mixed(self._factors, self._rows.moved)[: self._count]

    @cached_property
    def displacements(self) -> Array:
        """(rows, nodes, 3) mm, mm, rad of the nodes; a node that nothing rotates with has rotation 0."""
        return _at_nodes(self.layout.mesh, self.moved.reshape(len(self), len(self.layout.mesh.xy), 3))

    @cached_property
    def reactions(self) -> Array:
        """(rows, supports, 3) N, N, N mm on the structure, about the point where the reaction stands."""
        return _mixed(self._factors, self._rows.pushed)[: self._count]

    def rows(self, which: slice | Index) -> Table:
        """Some of the rows, as a table."""
        lines = np.stack([self._line(k)[which] for k in range(LINES)])
        return Table(self.layout, Stored(lines, self.moved[which], self.reactions[which]), None, lines.shape[1])


@dataclass(frozen=True, slots=True)
class Stored:
    """Rows worked out already: ``lines`` (5, rows, S), ``moved`` (rows, 3 n), ``pushed`` (rows, supports, 3)."""

    lines: Array
    moved: Array
    pushed: Array

    def line(self, which: int, factors: Array | None) -> Array:
        """See :class:`Rows`."""
        return _mixed(factors, self.lines[which])


class Solved:
    """Rows of an analysis. Where every bay has the same stations, polynomials are mixed before they are evaluated: they are shorter."""

    def __init__(self, layout: Layout, solved: Equations, found: States) -> None:
        self.layout, self.solved, self.found, self.moved = layout, solved, found, found.moved

    def line(self, which: int, factors: Array | None) -> Array:
        """See :class:`Rows`."""
        if not self.layout.even:
            return _mixed(factors, self.stations[which])
        terms = self.found.forces[which] if which <= M else self.found.lines[which]
        return _evenly(self.layout, _mixed(factors, terms.transpose(1, 2, 0)))

    @cached_property
    def stations(self) -> Array:
        """(5, rows, S) all lines."""
        return along(self.layout, self.found.loads, self.found.lines)

    @cached_property
    def missing(self) -> Array:
        """(rows, 3 n) forces of the bays on the nodes less the loads."""
        return self.solved.missing(self.found.loads, self.found.ends)

    @cached_property
    def pushed(self) -> Array:
        """See :class:`Rows`."""
        return reactions(self.solved.mesh, self.missing)


class Combined(Table):
    """Combinations. ``lifted`` (K, supports): the push-only bearing has let go."""

    def __init__(self, layout: Layout, rows: Rows, factors: Array | None, lifted: Flags) -> None:
        super().__init__(layout, rows, factors, len(lifted))
        self.lifted = lifted


class Response(Table):
    """Load cases, and what is needed to combine them and to prove them.

    After the cases stand, unseen, the answers to raising each push-only bearing by 1 mm.
    """

    def __init__(self, solved: Equations, found: States, stations: int, pushing: tuple[int, ...]) -> None:
        layout = stations_of(solved.mesh, found.loads.brackets, stations)
        self.solved, self.loads, self.states, self.pushing = solved, found.loads, found, pushing
        self._every = Solved(layout, solved, found)
        super().__init__(layout, self._every, None, len(found.moved) - len(pushing))

    @cached_property
    def residual(self) -> float:
        """Largest imbalance of any free node or of the whole frame over the largest force of its case (moments: by the mean bay)."""
        every = self._every
        return residual(self.solved.mesh, self.loads, every.moved, every.missing, self.states.ends, every.pushed)

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
        lifted = np.zeros((len(factors), len(self.solved.mesh.frame.supports)), dtype=bool)
        if self.pushing:
            factors = self._lifting(factors)
            lifted[:, self.pushing] = factors[:, self._count :] > 0.0
        return Combined(self.layout, self._every, factors, lifted)

    def factors(self, given: Array) -> Array:
        """Factors checked: (K, C), finite."""
        factors = np.asarray(given, dtype=float)
        if factors.ndim != 2 or factors.shape[1] != len(self):
            raise ValueError(f"factors must be (K, {len(self)}), not {factors.shape}")
        if not np.isfinite(factors).all():
            raise NonFinite("factors")
        return factors

    def _lifting(self, factors: Array) -> Array:
        """Factors with the heights, mm, by which the frame lifts off its push-only bearings."""
        raised = self._every.pushed[self._count :]
        heights = lift(self.solved.mesh.frame, self.pushing, _mixed(factors, self.reactions), raised)
        return np.concatenate((factors, heights), axis=1)

    def at(self, places: Layout, factors: Array | None = None) -> Array:
        """(5, rows, S) lines at other stations of the same frame, of the cases or of combinations (K, C) with lifting bearings let go."""
        lines = along(places, self.loads, self.states.lines)
        if factors is None:
            return lines[:, : len(self)]
        factors = self.factors(factors)
        return np.asarray((self._lifting(factors) if self.pushing else factors) @ lines)


def _mixed(factors: Array | None, part: Array) -> Array:
    return part if factors is None else (factors @ part.reshape(len(part), -1)).reshape(len(factors), *part.shape[1:])


def along(layout: Layout, loads: Loading, lines: Lines) -> Array:
    """(5, C, S) at the stations from the polynomials of the bays and the brackets inside them."""
    if layout.even:
        return np.array([_evenly(layout, terms.transpose(1, 2, 0)) for terms in lines])
    found = np.zeros((LINES, lines[0].shape[1], len(layout.number)))
    share = layout.inside / layout.mesh.length[layout.number]
    for row, terms in zip(found, lines, strict=True):
        for term in terms[::-1]:
            row *= share
            row += term[:, layout.number]
    _add_brackets(layout, loads, found)
    return found


def _evenly(layout: Layout, terms: Array) -> Array:
    """(C, S) at the same stations of every bay from polynomials (C, B, powers)."""
    count, bays, powers = terms.shape
    values = terms.reshape(-1, powers) @ layout.powers[:powers]
    return np.asarray(values.reshape(count, bays * values.shape[1]))


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
