"""Agreement with OpenSees, a general finite-element library: displacements and end forces, relative to the largest of their kind."""

import numpy as np
import pytest

from solver import analyse


def end_forces(response, case):
    """(B, 6) forces on the bays' ends in their own axes, from the stations at the ends."""
    number = response.layout.number
    bays = np.arange(number[-1] + 1)
    a, b = np.searchsorted(number, bays), np.searchsorted(number, bays, side="right") - 1
    n, v, m = response.n[case], response.v[case], response.m[case]
    return np.stack((-n[a], v[a], -m[a], n[b], -v[b], m[b]), axis=1)


def worst(frame, cases, model):
    """Largest relative difference over cases and kinds: translations, rotations, forces, moments."""
    response, found = analyse(frame, cases), 0.0
    for number, case in enumerate(cases):
        moved, ends = model.run(case)
        ours, mine = response.displacements[number], end_forces(response, number)
        for a, b in (
            (ours[:, :2], moved[:, :2]),
            (ours[:, 2], moved[:, 2]),
            (mine[:, [0, 1, 3, 4]], ends[:, [0, 1, 3, 4]]),
            (mine[:, [2, 5]], ends[:, [2, 5]]),
        ):
            found = max(found, float(np.abs(a - b).max() / np.abs(b).max()))
    return found


@pytest.mark.parametrize("name", ["fink", "joist", "attic"])
def test_workloads(name, workloads, opensees):
    frame, cases, _ = getattr(workloads, name)()
    assert worst(frame, cases, opensees.Model(frame)) < 1e-11
