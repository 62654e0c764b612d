"""The same frame in scikit-fem, a general finite-element library: weak forms of bar and beam integrated over the bays laid end to end on a line.

Every bay has unknowns of its own (cubic Hermite for bending, linear for stretch); nodes are tied to them by a matrix of rotation. Nothing of
the solver's elements, loads or numbering is used. Slender pieces without offsets, rigid or pinned ends, loads over whole pieces or on nodes.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from scipy.sparse import coo_array, diags_array
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementLineHermite, ElementLineP1, LinearForm, MeshLine
from skfem.helpers import d, dd, ddot, dot

from solver import NodeLoad


@BilinearForm
def stretch(u, v, w):
    return w.ea * dot(d(u), d(v))


@BilinearForm
def bend(u, v, w):
    return w.ei * ddot(dd(u), dd(v))


@LinearForm
def push(v, w):
    return w.q * v


def solve(frame, cases):
    """Displacements (C, n, 3) and forces (C, B, 6) of the nodes on the bays' ends in their own axes: axial, transverse, moment at each end."""
    bays = [(k, a, b) for k, piece in enumerate(frame.pieces) for a, b in pairwise(piece.nodes)]
    number, start, end = np.array(bays).T
    run = frame.xy[end] - frame.xy[start]
    length = np.hypot(*run.T)
    bar, beam = _bases(length)
    stiff, loads = _local(frame, cases, number, run / length[:, None], bar, beam)
    tie, turns = _tied(frame, bays, run / length[:, None])
    nodal = np.zeros((len(cases), tie.shape[1]))
    for case, given in zip(nodal, cases, strict=True):
        for load in given:
            if isinstance(load, NodeLoad):
                case[3 * load.node : 3 * load.node + 3] += (load.fx, load.fy, load.m)
    free = np.ones(tie.shape[1], dtype=bool)
    free[: 3 * len(frame.xy)][2::3] = turns
    for s in frame.supports:
        free[3 * s.node : 3 * s.node + 3] &= [not s.x, not s.y, not s.rotation]
    whole = (tie.T @ stiff @ tie).tocsc()[free][:, free]
    scale = diags_array(1.0 / np.sqrt(whole.diagonal()))
    moved = np.zeros((len(cases), tie.shape[1]))
    moved[:, free] = (scale @ splu((scale @ whole @ scale).tocsc()).solve(scale @ (nodal + loads @ tie)[:, free].T)).T
    local = moved @ tie.T
    ends = (local @ stiff - loads).reshape(len(cases), len(bays), 6)
    return moved[:, : 3 * len(frame.xy)].reshape(len(cases), -1, 3), ends


def _bases(length):
    """Bays apart from one another on one line, and the library's bases of bar and beam over them."""
    stop = np.cumsum(length + 1.0)
    points = np.stack((stop - length, stop), axis=1).ravel()
    mesh = MeshLine(points[None], np.arange(len(points)).reshape(-1, 2).T)
    return Basis(mesh, ElementLineP1(), intorder=4), Basis(mesh, ElementLineHermite(), intorder=6)


def _local(frame, cases, number, way, bar, beam):
    """Stiffness (6 B, 6 B) and forces (C, 6 B) against u, w, turn of the start and of the end of every bay."""
    ea, ei = (np.array([getattr(p, name) for p in frame.pieces])[number, None] for name in ("ea", "ei"))
    count = len(number)
    axial = (3 * np.arange(2 * count)).astype(np.intp)
    across = np.empty(4 * count, dtype=np.intp)
    across[beam.nodal_dofs[0]], across[beam.nodal_dofs[1]] = axial + 1, axial + 2
    parts = [(axial, stretch.assemble(bar, ea=ea).tocoo()), (across, bend.assemble(beam, ei=ei).tocoo())]
    data = np.concatenate([part.data for _, part in parts])
    row, column = (np.concatenate([place[getattr(part, name)] for place, part in parts]) for name in ("row", "col"))
    loads = np.zeros((len(cases), 6 * count))
    for case, given in zip(loads, cases, strict=True):
        q = np.zeros((count, 2))
        for load in given:
            if not isinstance(load, NodeLoad):
                assert (load.qx[0], load.qy[0]) == (load.qx[1], load.qy[1])
                q[number == load.piece] += (load.qx[0], load.qy[0])
        case[axial] = push.assemble(bar, q=(q * way).sum(axis=1)[:, None])
        case[across] = push.assemble(beam, q=(q[:, 1] * way[:, 0] - q[:, 0] * way[:, 1])[:, None])
    return coo_array((data, (row, column)), shape=(6 * count, 6 * count)).tocsr(), loads


def _tied(frame, bays, way):
    """Matrix from the unknowns of the nodes, and a turn of its own for each pinned end, to those of the bays; and which nodes turn."""
    entries, turns, extra = [], np.zeros(len(frame.xy), dtype=bool), 3 * len(frame.xy)
    for b, (number, *nodes) in enumerate(bays):
        piece, (c, s) = frame.pieces[number], way[b]
        for k, node in enumerate(nodes):
            at, base = 6 * b + 3 * k, 3 * node
            entries += [(at, base, c), (at, base + 1, s), (at + 1, base, -s), (at + 1, base + 1, c)]
            stiff = {(0, piece.nodes[0]): piece.start, (1, piece.nodes[-1]): piece.end}.get((k, node), np.inf)
            assert stiff in (0.0, np.inf)
            turns[node] |= stiff > 0.0
            entries.append((at + 2, base + 2 if stiff else extra, 1.0))
            extra += not stiff
    row, column, value = (np.array(part) for part in zip(*entries, strict=True))
    return coo_array((value, (row.astype(int), column.astype(int))), shape=(6 * len(bays), extra)).tocsr(), turns
