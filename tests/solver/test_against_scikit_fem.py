"""Agreement with scikit-fem, a second general finite-element library that shares nothing with the first: weak forms, not matrices of bars."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from solver import Frame, LineLoad, NodeLoad, Support, analyse


def end_forces(response):
    a, b = response.layout.edges
    n, v, m = response.n, response.v, response.m
    return np.stack((-n[:, a], v[:, a], -m[:, a], n[:, b], -v[:, b], m[:, b]), axis=2)


def worst(frame, cases, galerkin):
    """Largest difference of movements, turns, forces and moments, of the largest of their kind."""
    response = analyse(frame, cases)
    moved, ends = galerkin.solve(frame, cases)
    mine = end_forces(response)
    kinds = [(response.displacements[..., :2], moved[..., :2]), (response.displacements[..., 2], moved[..., 2])]
    kinds += [(mine[..., k], ends[..., k]) for k in ([0, 1, 3, 4], [2, 5])]
    return max(float(np.abs(a - b).max() / np.abs(b).max()) for a, b in kinds)


@pytest.mark.parametrize("name", ["fink", "joist", "attic"])
def test_trusses(name, workloads, galerkin):
    frame, cases, _ = getattr(workloads, name)()
    assert worst(frame, cases, galerkin) < 1e-9


@pytest.mark.parametrize("seed", range(20))
def test_random_frames(seed, workloads, galerkin):
    frame, cases = plain(*workloads.random_frame(seed), np.random.default_rng(seed))
    assert worst(frame, cases, galerkin) < 1e-9


@pytest.mark.prove
@pytest.mark.parametrize("block", range(8))
def test_many_random_frames(block, workloads, galerkin):
    """200 frames in blocks of 25; the greatest difference of a block is printed."""
    seeds = range(25 * block, 25 * block + 25)
    frames = {seed: plain(*workloads.random_frame(seed), np.random.default_rng(seed)) for seed in seeds}
    apart = {seed: worst(frame, cases, galerkin) for seed, (frame, cases) in frames.items()}
    print(f"\nframes {seeds.start} to {seeds.stop - 1}: at most {max(apart.values()):.1e} apart")
    assert [seed for seed, difference in apart.items() if not difference < 1e-9] == []


def plain(frame, cases, random):
    """The frame without shear, offsets, springs and loads on parts, which the weak forms here leave out."""
    stiff = {False: 0.0, True: inf}
    bare = {"ga": inf, "start_offset": (0.0, 0.0), "end_offset": (0.0, 0.0)}
    pieces = [replace(p, start=stiff[p.start > 0.0], end=stiff[p.end > 0.0], **bare) for p in frame.pieces]
    supports = (Support(0, x=True, y=True, rotation=True), *(Support(s.node, y=True) for s in frame.supports[1:]))
    spread = [LineLoad(k, 0.0, _reach(frame.xy, p), *((q, q) for q in random.uniform(-1.0, 1.0, 2).tolist())) for k, p in enumerate(pieces)]
    nodal = [[load for load in case if isinstance(load, NodeLoad)] for case in cases]
    return Frame(frame.xy, tuple(pieces), supports), [spread, *nodal]


def _reach(xy, piece):
    return float(np.hypot(*(xy[piece.nodes[-1]] - xy[piece.nodes[0]])))
