"""The stations at which answers are given."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from .bending import MOVING
from .brackets import Brackets
from .frame import Array, Flags, Index
from .kinds import SNAP_MM
from .mesh import Mesh

POWERS = np.arange(float(MOVING))[:, None]


@dataclass(eq=False)
class Layout:
    """Stations (S,), ordered by piece, bay and position. Where a load starts, stops or stands alone a station is added; a point
    load has two at its place, before it and beyond it.

    ``number`` bay counted over all pieces; ``inside`` mm from the start of the bay; ``beyond``: a load standing exactly here is passed already.
    ``shares``: even stations of a bay, of its length; ``even``: there are no others. ``cuts``: bays and places inside them, mm, of the loads.
    """

    mesh: Mesh
    shares: Array
    cuts: tuple[Index, Array]
    chosen: tuple[Index, Array, Flags] | None = None

    @property
    def even(self) -> bool:
        """Every bay has the same stations, and no load stops inside one."""
        return self.chosen is None

    @cached_property
    def powers(self) -> Array:
        """(6, shares) powers of the shares."""
        return np.asarray(self.shares**POWERS)

    @cached_property
    def number(self) -> Index:
        """(S,) bay, counted over all pieces."""
        return np.repeat(np.arange(len(self.mesh.length)), len(self.shares)) if self.chosen is None else self.chosen[0]

    @cached_property
    def inside(self) -> Array:
        """(S,) mm from the start of the bay."""
        return (self.mesh.length[:, None] * self.shares).ravel() if self.chosen is None else self.chosen[1]

    @cached_property
    def beyond(self) -> Flags:
        """(S,) a load standing exactly here is passed already: everywhere but at the far end of a bay and before a point load."""
        return self.inside < self.mesh.length[self.number] if self.chosen is None else self.chosen[2]

    @cached_property
    def piece(self) -> Index:
        """(S,) piece."""
        return np.asarray(self.mesh.piece[self.number])

    @cached_property
    def bay(self) -> Index:
        """(S,) bay, counted inside its piece."""
        return np.asarray(self.number - np.array(self.mesh.first)[self.piece])

    @cached_property
    def at(self) -> Array:
        """(S,) mm along the piece from its first end."""
        return np.asarray(self.mesh.at[self.number] + self.inside)

    @cached_property
    def edges(self) -> tuple[Index, Index]:
        """First and last station of every bay."""
        bays = np.arange(len(self.mesh.length))
        return np.searchsorted(self.number, bays), np.searchsorted(self.number, bays, side="right") - 1

    @cached_property
    def slices(self) -> tuple[slice, ...]:
        """One for each piece."""
        return tuple(slice(a, b) for a, b in pairwise(np.searchsorted(self.number, self.mesh.first).tolist()))


def stations_of(mesh: Mesh, brackets: Brackets, stations: int) -> Layout:
    """``stations`` even ones a bay, both ends included, and those that the loads ask for."""
    plain = Layout(mesh, np.arange(stations) / (stations - 1), (brackets.bay, brackets.at))
    if not len(brackets):
        return plain
    jump = brackets.order < 0
    number = np.concatenate((plain.number, brackets.bay, brackets.bay[jump]))
    inside = np.concatenate((plain.inside, brackets.at, brackets.at[jump]))
    beyond = np.concatenate((plain.beyond, np.ones(len(brackets), dtype=bool), np.zeros(int(jump.sum()), dtype=bool)))
    beyond[inside >= mesh.length[number] - SNAP_MM] = False
    beyond[inside <= SNAP_MM] = True
    return Layout(mesh, plain.shares, plain.cuts, _told_apart(number, inside, beyond))


def _told_apart(number: Index, inside: Array, beyond: Flags) -> tuple[Index, Array, Flags]:
    """In order, and one of each place; equal places may differ by rounding."""
    order = np.lexsort((inside, number))
    number, inside, beyond = number[order], inside[order], beyond[order]
    place = np.concatenate(((0,), np.cumsum((number[1:] != number[:-1]) | (inside[1:] - inside[:-1] > SNAP_MM))))
    order = np.lexsort((beyond, place))
    number, inside, beyond = number[order], inside[order], beyond[order]
    keep = np.concatenate(((True,), (place[1:] != place[:-1]) | (beyond[1:] != beyond[:-1])))
    return number[keep], inside[keep], beyond[keep]
