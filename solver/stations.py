"""Polynomials and brackets of the bays evaluated at stations."""

from __future__ import annotations

import numpy as np

from .bending import LINES, States, bracket_lines, polynomials
from .brackets import Brackets, mixed_brackets
from .frame import Array
from .incidence import blocks
from .kinds import SNAP_MM
from .layout import Layout


def along(layout: Layout, found: States, factors: Array | None = None) -> Array:
    """(5, C, S) N, V, M and displacements along and across at the stations, of the cases or of combinations (K, C) of them."""
    if factors is None:
        return lines_at(layout, found.loads.brackets, found.forces, found.movements)
    forces = polynomials(factors @ found.sources)
    return lines_at(layout, mixed_brackets(found.loads.brackets, factors), forces, mixed_terms(found.movements, factors))


def mixed_terms(terms: Array, factors: Array) -> Array:
    """(lines, K, B, powers) polynomials of combinations (K, C) from those of the cases."""
    lines, count, bays, powers = terms.shape
    return np.asarray((factors @ terms.reshape(lines, count, bays * powers)).reshape(lines, len(factors), bays, powers))


def lines_at(layout: Layout, given: Brackets, forces: Array, movements: Array) -> Array:
    """(5, C, S) at the stations from the polynomials of the bays, (3, C, B, powers) and (2, C, B, powers), and the brackets inside them."""
    if layout.even:
        return np.concatenate((evenly(layout, forces), evenly(layout, movements)))
    found = np.zeros((LINES, forces.shape[1], len(layout.number)))
    share = layout.inside / layout.mesh.length[layout.number]
    for some in blocks(forces.shape[1], LINES * len(share)):
        for rows, terms in ((found[:3, some], forces), (found[3:, some], movements)):
            for term in terms[:, some].transpose(3, 0, 1, 2)[::-1]:
                rows *= share
                rows += term[..., layout.number]
    if len(given):
        _add_brackets(layout, given, found)
    return found


def evenly(layout: Layout, terms: Array) -> Array:
    """(lines, C, S) at the same stations of every bay from polynomials (lines, C, B, powers)."""
    lines, count, bays, powers = terms.shape
    table = layout.powers[:powers]
    places = table.shape[1]
    found = np.empty((lines, count, bays * places))
    for some in blocks(count, lines * bays * places):
        np.matmul(terms[:, some].reshape(lines, -1, powers), table, out=found[:, some].reshape(lines, -1, places))
    return found


def _add_brackets(layout: Layout, given: Brackets, lines: Array) -> None:
    """Every bracket with every station of its bay at or beyond its place."""
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
