"""Bearings that can only push: re-solved combination by combination, against frames from which the lifted bearings are taken away."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from solver import (
    BearingsCycle,
    Frame,
    Imperfection,
    LineLoad,
    NodeLoad,
    NothingHoldsDown,
    Piece,
    PointLoad,
    Support,
    analyse,
    buckling,
    curves,
    extremes,
    second_order,
)
from solver.lifting import lift

EA, EI = 1e8, 1e11
SPANS = 4
PUSH = {"y": True, "push_only": True}


def continuous(supports):
    xy = np.stack((3000.0 * np.arange(SPANS + 1), np.zeros(SPANS + 1)), axis=1)
    return Frame(xy, (Piece(tuple(range(SPANS + 1)), EA, EI),), supports)


BEAM = continuous((Support(0, x=True, y=True), Support(1, **PUSH), Support(2, **PUSH), Support(3, **PUSH), Support(4, y=True)))
CASES = [[PointLoad(0, 3000.0 * k + 1500.0, fy=-1000.0)] for k in range(SPANS)] + [[LineLoad(0, 0.0, 3000.0 * SPANS, qy=(0.2, 0.2))]]


def by_hand(factors):
    """The one set of lifted bearings at which the others push and the frame stands above those: tried out one by one."""
    found = []
    for up in product([False, True], repeat=3):
        supports = tuple(replace(s, push_only=False) for k, s in enumerate(BEAM.supports) if k in (0, 4) or not up[k - 1])
        left = analyse(replace(BEAM, supports=supports), CASES).combine([factors])
        standing = [s.node for s in supports]
        pushes = all(left.reactions[0, standing.index(k), 1] >= -1e-6 for k in (1, 2, 3) if not up[k - 1])
        clear = all(left.displacements[0, k, 1] >= -1e-9 for k in (1, 2, 3) if up[k - 1])
        if pushes and clear:
            found.append((up, left))
    return found[0]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(factors=st.lists(st.sampled_from([0.0, 0.5, 1.0, 1.5]), min_size=5, max_size=5))
def test_against_trying_every_set(factors):
    combined = analyse(BEAM, CASES).combine([factors])
    up, left = by_hand(factors)
    size = max(np.abs(left.m).max(), 1.0)
    assert np.abs(combined.m - left.m).max() <= 1e-7 * size
    assert np.abs(combined.displacements - left.displacements).max() <= 1e-7 * max(np.abs(left.displacements).max(), 1e-6)
    assert not combined.reactions[0, [1, 2, 3], 1].min() < -1e-6
    assert combined.lifted[0, [0, 4]].tolist() == [False, False]
    if np.abs(left.displacements[0, [1, 2, 3], 1]).min() > 1e-6:
        assert combined.lifted[0, 1:4].tolist() == list(up)


def test_a_lifted_bearing_carries_nothing_and_the_frame_stands_clear():
    combined = analyse(BEAM, CASES).combine([[0.0, 0.0, 0.0, 0.0, 1.0], [0.0, 0.0, 0.0, 0.0, 0.0]])
    assert combined.lifted.tolist() == [[False, True, True, True, False], [False] * 5]
    assert combined.reactions[0, 1:4] == pytest.approx(0.0, abs=1e-8)
    assert (combined.displacements[0, 1:4, 1] > 0.0).all()


def test_exact_extremes_follow_the_lifting():
    response, factors = analyse(BEAM, CASES), np.array([[0.0, 0.0, 0.0, 0.0, 1.0], [1.0, 1.0, 1.0, 1.0, 0.0]])
    exact = extremes(curves(response, factors), "m")
    assert exact.low[0, 0] == pytest.approx(-0.2 * 12000.0**2 / 8.0)
    assert exact.high[1, 0] == pytest.approx(response.combine(factors).m[1].max(), rel=1e-6)


def test_an_inclined_sprung_bearing():
    """Along its own axis a bearing pushes; pulled, it goes."""
    frame = continuous(
        (Support(0, x=True, y=True, rotation=True), Support(4, spring_y=500.0, inclined=0.3, push_only=True), Support(2, y=True))
    )
    down, up = analyse(frame, [[NodeLoad(4, fy=-1000.0)], [NodeLoad(4, fy=1000.0)]]).combine(np.eye(2)).reactions[:, 1]
    assert down[1] > 0.0
    assert down[0] == pytest.approx(-np.tan(0.3) * down[1])
    assert np.abs(up).max() < 1e-8


def test_lifting_off_altogether():
    frame = Frame(
        np.array([(0.0, 0.0), (4000.0, 0.0)]),
        (Piece((0, 1), EA, EI),),
        (Support(0, x=True, **PUSH), Support(1, **PUSH), Support(0, y=True)),
    )
    with pytest.raises(NothingHoldsDown) as caught:
        analyse(replace(frame, supports=frame.supports[:2]), [[]])
    assert caught.value.supports == (0, 1)
    three = continuous((Support(0, x=True, **PUSH), Support(2, y=True), Support(4, **PUSH)))
    with pytest.raises(NothingHoldsDown) as caught:
        analyse(three, [[NodeLoad(0, fy=1000.0), NodeLoad(4, fy=2000.0)]]).combine([[1.0]])
    assert caught.value.supports == (0, 2)


def test_bearings_that_find_no_rest():
    """A matrix no frame has, to see that the search ends."""
    frame = replace(BEAM, supports=BEAM.supports[:3])
    raised = np.zeros((2, 3, 3))
    raised[0, 1:, 1], raised[1, 1:, 1] = (1.0, -3.0), (-3.0, 1.0)
    pushed = np.zeros((1, 3, 3))
    pushed[0, 1:, 1] = -1.0
    with pytest.raises((BearingsCycle, NothingHoldsDown)):
        lift(frame.supports, (1, 2), pushed, raised)
    raised[0, 1:, 1], raised[1, 1:, 1] = (1.0, -0.9), (0.9, 1e-3)
    with pytest.raises((BearingsCycle, NothingHoldsDown)):
        lift(frame.supports, (1, 2), pushed, np.array(raised))


def test_stability_without_the_lifted_bearing():
    """A strut whose middle bearing lets go buckles over its whole length."""
    xy = np.array([(0.0, 0.0), (2000.0, 0.0), (4000.0, 0.0)])
    frame = Frame(xy, (Piece((0, 1, 2), EA, EI),), (Support(0, x=True, y=True), Support(1, **PUSH), Support(2, y=True)))
    cases = [[NodeLoad(2, fx=-1000.0)], [NodeLoad(1, fy=1.0)]]
    on, off = buckling(frame, cases, [[1.0, -1.0], [1.0, 1.0]])
    assert on.factor / off.factor == pytest.approx(4.0, rel=2e-3)
    second = second_order(frame, cases, [[1.0, -1.0], [1.0, 1.0]])
    assert second.lifted.tolist() == [[False] * 3, [False, True, False]]
    assert second.reactions[0, 1, 1] == pytest.approx(1.0, rel=1e-3)
    assert second.reactions[1, 1, 1] == pytest.approx(0.0, abs=1e-9)


def test_a_bearing_that_pulls_only_in_second_order():
    """The bow lifts the frame off a bearing that first order left pushing: refused rather than guessed."""
    xy = np.array([(0.0, 0.0), (2000.0, 0.0), (4000.0, 0.0)])
    frame = Frame(xy, (Piece((0, 1, 2), EA, EI),), (Support(0, x=True, y=True), Support(1, **PUSH), Support(2, y=True)))
    cases = [[NodeLoad(2, fx=-30000.0), NodeLoad(1, fy=-1.0)]]
    with pytest.raises(BearingsCycle):
        second_order(frame, cases, [[1.0]], Imperfection(bow=np.array([0.01, 0.01])))
