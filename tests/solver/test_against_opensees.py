"""Agreement with OpenSees, a general finite-element library: displacements and end forces, relative to the largest of their kind."""

import numpy as np
import pytest

from solver import analyse


def end_forces(response, case):
    """(B, 6) forces on the bays' ends in their own axes, from the stations at the ends."""
    a, b = response.layout.edges
    n, v, m = response.n[case], response.v[case], response.m[case]
    return np.stack((-n[a], v[a], -m[a], n[b], -v[b], m[b]), axis=1)


def difference(response, number, moved, ends):
    """Largest relative difference of translations, rotations, forces and moments."""
    ours, mine = response.displacements[number], end_forces(response, number)
    pairs = (
        (ours[:, :2], moved[:, :2]),
        (ours[:, 2], moved[:, 2]),
        (mine[:, [0, 1, 3, 4]], ends[:, [0, 1, 3, 4]]),
        (mine[:, [2, 5]], ends[:, [2, 5]]),
    )
    return max(float(np.abs(a - b).max() / max(np.abs(b).max(), 1e-12)) for a, b in pairs)


def worst(frame, cases, model):
    response = analyse(frame, cases)
    return max(difference(response, number, *model.run(case)) for number, case in enumerate(cases))


@pytest.mark.parametrize("name", ["fink", "joist", "attic"])
def test_trusses(name, workloads, opensees):
    frame, cases, _ = getattr(workloads, name)()
    assert worst(frame, cases, opensees.Model(frame)) < 1e-11


@pytest.mark.parametrize("name", ["chord", "lattice"])
def test_large_frames(name, workloads, opensees):
    frame, cases, _ = getattr(workloads, name)(400)
    assert worst(frame, cases[4:6], opensees.Model(frame)) < 1e-9


@pytest.mark.parametrize("block", range(8))
def test_random_frames(block, workloads, opensees):
    """200 frames in blocks of 25."""
    for seed in range(25 * block, 25 * block + 25):
        frame, cases = workloads.random_frame(seed)
        assert worst(frame, cases, opensees.Model(frame)) < 1e-9, f"frame {seed}"


@pytest.mark.parametrize("seed", range(30))
def test_what_opensees_cannot_chain(seed, workloads, multipliers):
    """Joints behind arms, bearings off their nodes, held inclined axes, settlement, length change: against free bays tied by multipliers."""
    frame, cases = workloads.harder_frame(seed)
    response = analyse(frame, cases)
    assert response.balanced
    for number, case in enumerate(cases):
        assert difference(response, number, *multipliers.solve(frame, case)) < 1e-9
