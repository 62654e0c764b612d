"""Polynomials and brackets of the bays evaluated at stations."""

from __future__ import annotations

import numpy as np

from .bending import LINES, States, bracket_lines
from .frame import Array
from .layout import Layout
from .loading import SNAP_MM, Loading


def along(layout: Layout, found: States) -> Array:
    """(5, C, S) N, V, M and displacements along and across at the stations."""
    return lines_at(layout, found.loads, found.forces, found.movements)


def lines_at(layout: Layout, loads: Loading, forces: Array, movements: Array) -> Array:
    """(5, C, S) at the stations from the polynomials of the bays, (3, C, B, powers) and (2, C, B, powers), and the brackets inside them."""
    if layout.even:
        return np.concatenate((evenly(layout, forces), evenly(layout, movements)))
    found = np.zeros((LINES, forces.shape[1], len(layout.number)))
    share = layout.inside / layout.mesh.length[layout.number]
    for rows, terms in ((found[:3], forces), (found[3:], movements)):
        for term in terms.transpose(3, 0, 1, 2)[::-1]:
            rows *= share
            rows += term[..., layout.number]
    if len(loads.brackets):
        _add_brackets(layout, loads, found)
    return found


def evenly(layout: Layout, terms: Array) -> Array:
    """(lines, C, S) at the same stations of every bay from polynomials (lines, C, B, powers)."""
    lines, count, bays, powers = terms.shape
    values = terms.reshape(-1, powers) @ layout.powers[:powers]
    return np.asarray(values.reshape(lines, count, bays * values.shape[1]))


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
