"""Answers of a divided frame at the stations of the whole one: the same frame, the same places."""

import numpy as np
import pytest

from solver import Frame, LineLoad, Piece, PointLoad, Support, analyse, second_order, undivided

LIGHT = 1e-6
"""Loads so small that nothing of second order is left."""


@pytest.mark.parametrize(("divisions", "stations"), [(5, 3), (2, 6), (1, 11), (10, 2)])
@pytest.mark.parametrize("name", ["fink", "joist"])
def test_under_light_loads_it_is_first_order(workloads, name, divisions, stations):
    frame, cases, factors = getattr(workloads, name)()
    first = analyse(frame, cases, stations=11)
    light = LIGHT * np.asarray(factors)[:6]
    found = undivided(second_order(frame, cases, light, divisions=divisions, stations=stations), first.layout, divisions)
    plain = first.combine(light)
    assert found.layout is first.layout
    for part in ("n", "v", "m", "ux", "uy", "reactions", "displacements"):
        there, here = getattr(plain, part), getattr(found, part)
        assert np.abs(here - there).max() <= 1e-5 * np.abs(there).max(), part


def test_both_sides_of_a_point_load_keep_their_own_shear():
    """A load of 1000 N in the middle of 4 m, on the edge of a division and off it: 500 N before it, -500 N beyond."""
    frame = Frame(np.array([[0.0, 0.0], [4000.0, 0.0]]), (Piece((0, 1), 1e8, 1e11),), (Support(0, x=True, y=True), Support(1, y=True)))
    for at in (2000.0, 2100.0, 1600.0):
        cases = [[PointLoad(0, at, fy=-1000.0)], [LineLoad(0, 500.0, 900.0, (0.0, 0.0), (-1.0, -1.0))]]
        first = analyse(frame, cases, stations=11)
        found = undivided(second_order(frame, cases, np.eye(2), divisions=5, stations=3), first.layout, 5)
        assert found.v == pytest.approx(first.v, abs=1e-6)
        assert found.m == pytest.approx(first.m, abs=1e-3)


def test_stations_the_divided_frame_does_not_have_are_refused(workloads):
    frame, cases, factors = workloads.fink()
    first = analyse(frame, cases, stations=11)
    coarse = second_order(frame, cases, LIGHT * np.asarray(factors)[:1], divisions=3, stations=2)
    with pytest.raises(ValueError, match="no station"):
        undivided(coarse, first.layout, 3)
