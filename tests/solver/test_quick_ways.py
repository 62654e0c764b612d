"""Quick ways that stand in for longer ones: where the quick one answers, the long one answers the same."""

import sys
from dataclasses import replace
from itertools import product
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver import Frame, Imperfection, LengthChange, LineLoad, Piece, Support, analyse, second_order
from solver.bending import sources_of
from solver.checks import _check_line, _same_way
from solver.elements import _eccentric, _flexible, _plain, elements
from solver.faults import BadGeometry
from solver.held import _uneven, fixed
from solver.loading import loading
from solver.mesh import mesh
from solver.numbering import numbering
from solver.patterns import MIXED, NUMBERS, PATTERN, PRODUCTS, ROWS


def beams(soft=inf):
    """Four bays with every pair of rigid and pinned joints, each at a slope of its own."""
    xy = np.array([(0.0, 0.0), (2000.0, 700.0), (3000.0, -400.0), (4500.0, 100.0), (5000.0, 1200.0)])
    joints = list(product((inf, 0.0), repeat=2))
    pieces = tuple(Piece((k, k + 1), 3e7, 2e10, ga=soft, start=a, end=b) for k, (a, b) in enumerate(joints))
    supports = tuple(Support(k, x=True, y=True, rotation=True) for k in range(5))
    return Frame(xy, pieces, supports)


def test_the_table_of_hinges_is_what_flexibilities_come_to():
    bays = mesh(beams())
    assert bays.hinges.tolist() == [0, 1, 2, 3]
    plain, flexible = np.empty((2, NUMBERS, 4))
    _plain(bays, plain)
    _flexible(bays, flexible)
    np.testing.assert_allclose(plain, flexible, rtol=1e-13, atol=1e-18)


def test_rows_looked_up_are_those_of_the_pattern():
    every = np.concatenate((np.eye(PRODUCTS), MIXED))
    np.testing.assert_array_equal(np.concatenate((every, -every))[ROWS], PATTERN)
    assert len(MIXED) < len(PATTERN) / 4


@pytest.mark.parametrize("soft", [inf, 2e6])
def test_products_are_what_rows_come_to(soft):
    bays = mesh(beams(soft))
    quick = elements(bays)
    slow = _eccentric(quick)
    for part in ("pairs", "reads", "lays"):
        size = np.abs(getattr(slow, part)).max()
        np.testing.assert_allclose(getattr(quick, part), getattr(slow, part), rtol=1e-12, atol=1e-14 * size)
    assert quick.stiffness().shape == (6, 6, 4)
    np.testing.assert_array_equal(quick.stiffness(), quick.stiffness().swapaxes(0, 1))


@pytest.mark.parametrize("soft", [inf, 2e6])
@pytest.mark.parametrize("name", ["fink", "joist", "attic"])
def test_even_loads_lay_on_bays_what_uneven_ones_would(name, soft, workloads):
    frame, cases, _ = getattr(workloads, name)()
    frame = replace(frame, pieces=tuple(replace(piece, ga=soft) for piece in frame.pieces))
    bays = mesh(frame)
    parts, loads = elements(bays), loading(bays, [*cases, [LengthChange(1, 2e-4)]])
    quick, slow = fixed(bays, parts, loads), _uneven(bays, parts, loads)
    for part in ("ends", "local", "feet", "moments"):
        size = np.abs(getattr(slow, part)).max()
        np.testing.assert_allclose(getattr(quick, part), getattr(slow, part), rtol=0.0, atol=1e-12 * size)
    slowly = sources_of(bays, slow, slow.feet)[:5]
    np.testing.assert_allclose(quick.sources, slowly, rtol=0.0, atol=1e-12 * np.abs(slowly).max())


@settings(max_examples=300, deadline=None)
@given(
    steps=st.lists(st.floats(-2000.0, 4000.0) | st.floats(-0.01, 0.01), min_size=2, max_size=5),
    off=st.lists(st.floats(-3.0, 3.0) | st.sampled_from([0.0, 0.999, 1.001, 600.0]), min_size=6, max_size=6),
)
def test_pieces_that_pass_the_sieve_follow_a_line(steps, off):
    x = np.concatenate(((0.0,), np.cumsum(steps)))
    points = np.array((x, off[: len(x)]))
    run = points[:, 1:] - points[:, :-1]
    length = np.hypot(*run)
    with np.errstate(all="ignore"):
        passed = _same_way(length, run / length, np.zeros(len(length), dtype=np.intp)) and length.min() >= 1e-3
    if passed:
        bays = np.stack((points[:, :-1], points[:, 1:]), axis=1).transpose(2, 1, 0).tolist()
        _check_line(0, Piece(tuple(range(len(x))), 1.0, 1.0), bays)


@pytest.mark.parametrize("height", [0.1, 1.1])
def test_the_sieve_lets_slight_bends_pass_and_the_check_no_more(height):
    frame = Frame(
        np.array([(0.0, 0.0), (1000.0, height), (2000.0, 0.0)]),
        (Piece((0, 1, 2), 1e7, 1e10),),
        (Support(0, x=True, y=True), Support(2, y=True)),
    )
    if height < 1.0:
        assert analyse(frame, [[LineLoad(0, 0.0, 2000.0, qy=(-1.0, -1.0))]]).balanced
    else:
        with pytest.raises(BadGeometry, match="bent"):
            analyse(frame, [[]])


def test_dense_or_banded_is_one_answer(workloads, monkeypatch):
    frame, cases, factors = workloads.joist()
    dense = analyse(frame, cases).combine(factors)
    monkeypatch.setattr("solver.statics.DENSE_UNKNOWNS", 0)
    monkeypatch.setattr(sys.modules["solver.analyse"], "numbering", lambda bays: numbering(bays, 0))
    banded = analyse(replace(frame), cases).combine(factors)
    for part in ("n", "v", "m", "displacements", "reactions"):
        one, other = getattr(dense, part), getattr(banded, part)
        np.testing.assert_allclose(one, other, rtol=0.0, atol=1e-9 * np.abs(one).max())


def test_a_bay_without_moment_bows_one_way_whatever_rounding_says(workloads):
    frame, cases, factors = workloads.fink()
    moved = replace(frame, xy=np.add(frame.xy, (1.0 / 3.0, 1.0 / 7.0)))
    one, other = (second_order(one, cases, factors[:4], Imperfection(0.003, 0.0025)) for one in (frame, moved))
    np.testing.assert_allclose(one.m, other.m, rtol=0.0, atol=1e-7 * np.abs(one.m).max())


def test_second_order_is_one_answer_full_banded_or_sparse(workloads, monkeypatch):
    (frame, cases), factors = workloads.harder_frame(5), np.full((2, 4), 0.01)
    full = second_order(frame, cases, factors, Imperfection(0.003, 0.0025), divisions=1)
    monkeypatch.setattr(sys.modules["solver.analyse"], "DENSE_OFTEN", 0)
    banded = second_order(frame, cases, factors, Imperfection(0.003, 0.0025), divisions=1)
    monkeypatch.setattr("solver.statics.DENSE_UNKNOWNS", 0)
    monkeypatch.setattr("solver.statics.BAND_WORK", 0.0)
    sparse = second_order(frame, cases, factors, Imperfection(0.003, 0.0025), divisions=1)
    for part, other in product(("n", "m", "displacements", "reactions"), (banded, sparse)):
        one = getattr(full, part)
        np.testing.assert_allclose(getattr(other, part), one, rtol=0.0, atol=1e-9 * np.abs(one).max())
