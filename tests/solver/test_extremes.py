"""Exact extremes against fine sampling, and their places."""

import numpy as np
import pytest

from solver import Frame, LineLoad, Piece, PointLoad, Support, analyse, curves, extremes


@pytest.mark.parametrize("line", ["n", "v", "m", "across"])
@pytest.mark.parametrize("seed", range(6))
def test_against_fine_sampling(line, seed, workloads):
    frame, cases = workloads.harder_frame(seed)
    fine = analyse(frame, cases, stations=401)
    exact = extremes(curves(analyse(frame, cases, stations=2)), line)
    values, size = getattr(fine, line), np.abs(getattr(fine, line)).max()
    for number, part in enumerate(fine.layout.slices):
        assert (exact.high[:, number] >= values[:, part].max(axis=1) - 1e-9 * size).all()
        assert exact.high[:, number] == pytest.approx(values[:, part].max(axis=1), abs=2e-5 * size)
        assert (exact.low[:, number] <= values[:, part].min(axis=1) + 1e-9 * size).all()
        assert exact.low[:, number] == pytest.approx(values[:, part].min(axis=1), abs=2e-5 * size)
        for row, at in enumerate(exact.high_at[:, number]):
            near = np.abs(fine.layout.at[part] - at) <= 10.0
            assert np.abs(values[row, part][near] - exact.high[row, number]).min() <= 0.01 * size


def test_place_of_the_largest_deflection():
    """Simple beam, force at a: largest deflection at sqrt((L² - b²)/3) from the far end of b (Roark, table 8.1, from memory)."""
    length, a = 6000.0, 4000.0
    frame = Frame(np.array([(0.0, 0.0), (length, 0.0)]), (Piece((0, 1), 1e9, 1e11),), (Support(0, x=True, y=True), Support(1, y=True)))
    b = length - a
    exact = extremes(curves(analyse(frame, [[PointLoad(0, a, fy=-1000.0)]])), "across")
    assert exact.low_at[0, 0] == pytest.approx(np.sqrt((length**2 - b**2) / 3.0))
    assert exact.low[0, 0] == pytest.approx(-1000.0 * b * (length**2 - b**2) ** 1.5 / (9.0 * np.sqrt(3.0) * length * 1e11))


def test_combinations(workloads):
    frame, cases, factors = workloads.attic()
    response = analyse(frame, cases, stations=201)
    exact, combined = extremes(curves(response, factors), "m"), response.combine(factors)
    sampled = np.stack([combined.m[:, part].max(axis=1) for part in response.layout.slices], axis=1)
    assert exact.high == pytest.approx(sampled, abs=1e-4 * np.abs(combined.m).max())


def test_a_jump_counts_on_both_sides():
    frame = Frame(np.array([(0.0, 0.0), (6000.0, 0.0)]), (Piece((0, 1), 1e9, 1e11),), (Support(0, x=True, y=True), Support(1, y=True)))
    exact = extremes(curves(analyse(frame, [[PointLoad(0, 2000.0, m=9e6), LineLoad(0, 0.0, 6000.0)]])), "m")
    assert (exact.high[0, 0], exact.low[0, 0]) == pytest.approx((3e6, -6e6))
    assert (exact.high_at[0, 0], exact.low_at[0, 0]) == pytest.approx((2000.0, 2000.0))
