"""Forces with which the nodes hold the ends of the bays, from the very terms that N, V and M are reported by, and what the nodes then lack."""

from __future__ import annotations

import numpy as np

from .bending import EVEN, RAMPED, States, bracket_lines
from .brackets import Brackets
from .frame import Array
from .incidence import gather, summed
from .loading import onto_axes, onto_unknowns
from .mesh import Mesh

SIGNS = np.array(((-1.0, 1.0, -1.0), (1.0, -1.0, 1.0)))  # of N, V and M at the start and at the end: forces along, across and turning


def _at_ends(terms: Array) -> Array:
    """(6, 7 or 10) the forces on the start, then on the end, as sums of the sources of N and V, then of M (see :func:`solver.bending.sources_of`)."""
    degree = len(terms) // 3
    n, v, m = np.split(terms, (degree, 2 * degree))
    found = np.zeros((2, 3, len(terms)))
    for end, values in ((0, (1.0, 0.0, 0.0, 0.0)), (1, (1.0, 1.0, 1.0, 1.0))):
        found[end, 0, :degree], found[end, 1, degree : 2 * degree], found[end, 2, 2 * degree :] = n @ values, v @ values, m @ values
    return np.asarray((found * SIGNS[..., None]).reshape(6, len(terms)))


AT_ENDS, AT_RAMPED_ENDS = _at_ends(EVEN), _at_ends(RAMPED)


def pushes(found: States) -> Array:
    """(6, C, B) force along, force across and moment, N and N mm, on the start of every bay, then on its end."""
    sources = found.sources
    rows = AT_ENDS if len(sources) == len(EVEN) else AT_RAMPED_ENDS
    ends = (rows @ sources.reshape(len(sources), -1)).reshape(6, *sources.shape[1:])
    if len(found.loads.brackets):
        _add_brackets(found.mesh, found.loads.brackets, ends)
    return ends


def _add_brackets(mesh: Mesh, given: Brackets, ends: Array) -> None:
    """What stands inside the bays, felt at their ends, in place."""
    count, bays = ends.shape[1:]
    place = given.case * bays + given.bay
    added = bracket_lines(mesh, given, np.arange(len(given)), mesh.length[given.bay] - given.at)
    for row, sign, part in zip(ends[3:], SIGNS[1], added[:3], strict=True):
        row += sign * summed(place, part, count * bays).reshape(count, bays)


def lacking(mesh: Mesh, ends: Array, nodal: Array) -> Array:
    """(C, 3 n) what the unknowns must be given for the ends of the bays (6, C, B) and the loads (C, 3 n) on the nodes to stand in
    equilibrium: at a free node nothing, at a support its reaction."""
    found = onto_axes(mesh, gather(mesh, _globally(mesh, ends)))
    found -= onto_unknowns(mesh, nodal)
    return found


def _globally(mesh: Mesh, ends: Array) -> Array:
    """The same in x and y, at the points of the nodes' unknowns."""
    found = ends.reshape(2, 3, *ends.shape[1:]).copy()
    parts = found[:, :2, None] * mesh.way[:, None]  # end, along or across, cosine or sine
    np.subtract(parts[:, 0, 0], parts[:, 1, 1], out=found[:, 0])
    np.add(parts[:, 0, 1], parts[:, 1, 0], out=found[:, 1])
    if mesh.arms is not None:
        x, y = mesh.arms.swapaxes(0, 1)[:, :, None]
        found[:, 2] += x * found[:, 1] - y * found[:, 0]
    return found.reshape(ends.shape)
