"""What a frame answers: load cases, their combinations, and the proof that they balance."""

from __future__ import annotations

from functools import cached_property
from math import isfinite

import numpy as np

from .balance import residual
from .bending import POWERS, States, evaluated
from .elements import axes
from .ends import lacking, pushes
from .faults import NonFinite
from .frame import Array
from .layout import Layout, stations_of
from .lifting import lift
from .mesh import Mesh
from .soundness import condition
from .statics import Equations
from .stations import along, evenly, mixed_terms
from .table import FORCES, Combined, Stored, Table, block_of, mixed

BALANCED = 1e-9
DOUBLE_DIGITS = 15.9


class Solved:
    """Rows of an analysis. Where every bay has the same stations, polynomials are mixed before they are evaluated: they are shorter."""

    def __init__(self, layout: Layout, solved: Equations, found: States) -> None:
        self.layout, self.solved, self.found, self.moved = layout, solved, found, found.moved

    def block(self, which: int, factors: Array | None) -> Array:
        """See :class:`solver.table.Rows`."""
        if not self.layout.even:
            return block_of(self.stations, which, factors)
        if which == FORCES:
            sources = self.found.sources if factors is None else factors @ self.found.sources
            return evaluated(sources, self.layout.powers[:POWERS])
        terms = self.found.movements
        return evenly(self.layout, terms if factors is None else mixed_terms(terms, factors))

    @cached_property
    def stations(self) -> Array:
        """(5, rows, S) all lines."""
        return along(self.layout, self.found)

    @cached_property
    def ends(self) -> Array:
        """(6, C, B) what stands on the ends of the bays: see :func:`solver.ends.pushes`."""
        return pushes(self.found)

    @cached_property
    def lacking(self) -> Array:
        """(C, 3 n) what the unknowns lack: see :func:`solver.ends.lacking`."""
        return lacking(self.solved.mesh, self.ends, self.found.loads.nodal)

    @cached_property
    def pushed(self) -> Array:
        """See :class:`solver.table.Rows`."""
        return reactions(self.solved.mesh, self.lacking)


class Response(Table):
    """Load cases, and what is needed to combine them and to prove them.

    After the cases stand, unseen, the answers to raising each push-only bearing by 1 mm.
    """

    def __init__(self, solved: Equations, found: States, stations: int, pushing: tuple[int, ...]) -> None:
        layout = stations_of(solved.mesh, found.loads.brackets, stations)
        self.solved, self.loads, self.states, self.pushing = solved, found.loads, found, pushing
        self._every = Solved(layout, solved, found)
        super().__init__(layout, self._every, None, len(found.moved) - len(pushing))

    @property
    def ends(self) -> Array:
        """(6, rows, B) forces along and across and moments with which the nodes hold start and end of the bays: see :func:`solver.ends.pushes`."""
        return self._every.ends[:, : self._count]

    @cached_property
    def residual(self) -> float:
        """Largest imbalance of any free node or of the whole frame over the largest force of its case (moments: by the mean bay)."""
        every = self._every
        return residual(self.solved.mesh, self.loads, every.ends, every.lacking, every.moved, every.pushed)

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
        lifted = np.zeros((len(factors), len(self.solved.mesh.supports)), dtype=bool)
        if self.pushing:
            factors = self._lifting(factors)
            lifted[:, self.pushing] = factors[:, self._count :] > 0.0
        return Combined(self.layout, self._every, factors, lifted)

    def factors(self, given: Array) -> Array:
        """Factors checked: (K, C), finite."""
        factors = np.asarray(given, dtype=float)
        if factors.ndim != 2 or factors.shape[1] != len(self):
            raise ValueError(f"factors must be (K, {len(self)}), not {factors.shape}")
        if not (isfinite(np.add.reduce(factors, axis=None)) or np.isfinite(factors).all()):
            raise NonFinite("factors")
        return factors

    def _lifting(self, factors: Array) -> Array:
        """Factors with the heights, mm, by which the frame lifts off its push-only bearings."""
        raised = self._every.pushed[self._count :]
        heights = lift(self.solved.mesh.supports, self.pushing, mixed(factors, self.reactions), raised)
        return np.concatenate((factors, heights), axis=1)

    def seen_at(self, places: Layout) -> Table:
        """The cases at other stations of the same frame, as a table."""
        return Table(places, Stored(self.at(places), self.moved, self.reactions), None, len(self))

    def at(self, places: Layout, factors: Array | None = None) -> Array:
        """(5, rows, S) lines at other stations of the same frame, of the cases or of combinations (K, C) with lifting bearings let go."""
        if factors is None:
            return along(places, self.states)[:, : len(self)]
        factors = self.factors(factors)
        return along(places, self.states, self._lifting(factors) if self.pushing else factors)


def reactions(mesh: Mesh, missing: Array) -> Array:
    """(C, supports, 3) in global axes, from what is missing at the unknowns (C, 3 n) for equilibrium."""
    nodes = [support.node for support in mesh.supports]
    held = missing.reshape(len(missing), len(mesh.xy), 3)[:, nodes]
    if mesh.turned is not None:
        cos, sin = axes(mesh)
        c, s = cos[nodes], sin[nodes]
        held[..., 0], held[..., 1] = c * held[..., 0] - s * held[..., 1], s * held[..., 0] + c * held[..., 1]
    return np.asarray(held)
