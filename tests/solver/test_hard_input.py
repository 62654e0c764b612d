"""Frames at the edge of what can be answered: a right answer or a fault with a name, never a wrong number."""

from math import atan2, inf, pi

import numpy as np
import pytest

from solver import (
    BadGeometry,
    BadLoad,
    BadStiffness,
    BadSupport,
    Frame,
    IllConditioned,
    LengthChange,
    LineLoad,
    Mechanism,
    NodeLoad,
    Piece,
    PointLoad,
    SettlementLoad,
    Support,
    analyse,
    buckling,
    second_order,
)

EA, EI = 1e8, 1e11
PIN, ROLL, CLAMP = {"x": True, "y": True}, {"y": True}, {"x": True, "y": True, "rotation": True}
XY = np.array([(0.0, 0.0), (3000.0, 0.0), (6000.0, 0.0), (3000.0, 2000.0)])

SIMPLY = (Support(0, **PIN), Support(2, **ROLL))


def truss(ratio=1.0, xy=XY, supports=SIMPLY):
    """A king post; its tie is ``ratio`` times as stiff as the rest."""
    return Frame(xy, (Piece((0, 1, 2), EA * ratio, EI * ratio), *(Piece(ends, EA, EI) for ends in ((0, 3), (3, 2), (1, 3)))), supports)


def cantilever(length=2000.0):
    return Frame(np.array([(0.0, 0.0), (length, 0.0)]), (Piece((0, 1), EA, EI, start=inf, end=inf),), (Support(0, **CLAMP),))


def test_coincident_nodes_of_different_pieces():
    with pytest.raises(BadGeometry) as info:
        analyse(truss(xy=np.concatenate((XY[:3], XY[:1] + 1e-4))), [[]])
    assert (info.value.kind, info.value.nodes) == ("coincident", (0, 3))


CROSSED = Frame(
    np.array([(0.0, 0.0), (2000.0, 0.0), (2000.0, 2000.0), (0.0, 2000.0)]),
    tuple(Piece(ends, EA, EI) for ends in ((0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3))),
    (Support(0, **PIN), Support(1, **ROLL)),
)
"""Diagonals that cross at their middles without being joined there."""
SHOVED = ([NodeLoad(3, fx=1000.0, fy=-500.0)],)


def test_pieces_that_cross_are_divided_where_they_cross():
    """Six divisions lay a node of each diagonal on the crossing, five do not: both tell the same factor."""
    (even,), (odd,) = (buckling(CROSSED, SHOVED, [[1.0]], divisions=parts) for parts in (6, 5))
    assert even.factor == pytest.approx(odd.factor, rel=1e-3)


def test_pieces_that_cross_are_followed_in_second_order():
    even, odd = (second_order(CROSSED, SHOVED, np.eye(1), divisions=parts) for parts in (4, 3))
    assert even.displacements[0, 3] == pytest.approx(odd.displacements[0, 3], rel=1e-3)


@pytest.mark.parametrize("ratio", [0.0, -1.0])
def test_no_stiffness(ratio):
    with pytest.raises(BadStiffness):
        analyse(truss(ratio), [[]])


@pytest.mark.parametrize("ratio", [1e-12, 1e12])
def test_stiffness_ratio_that_forces_do_not_depend_on(ratio):
    """Joint 3 of a pinned triangle over a tie that hardly gives or hardly bends: the struts carry by statics alone."""
    response = analyse(truss(ratio, supports=(Support(0, **PIN), Support(2, **PIN))), [[NodeLoad(3, fy=-1000.0)]])
    sine = 2000.0 / np.hypot(3000.0, 2000.0)
    struts = response.n[0, [response.layout.edges[0][2], response.layout.edges[0][3]]]
    stiffer = ratio > 1.0  # then the post, held by the tie in bending, takes a part of its own; below, the tie gives way under it
    post = response.n[0, response.layout.edges[0][4]]
    assert struts == pytest.approx([-(1000.0 + post) / (2.0 * sine)] * 2, rel=1e-9)
    assert stiffer == (abs(post) > 1.0)
    assert response.balanced


def test_stiffness_ratio_that_costs_the_digits():
    """A piece 1e12 times as stiff at the end of a soft one: the stretch of the soft one is lost in the rounding of the stiff one."""
    xy = np.array([(0.0, 0.0), (1000.0, 0.0), (2000.0, 0.0)])
    pieces = (Piece((0, 1), 1e5, 1e9, start=inf, end=inf), Piece((1, 2), 1e17, 1e21, start=inf))
    with pytest.raises(IllConditioned):
        analyse(Frame(xy, pieces, (Support(0, **CLAMP),)), [[NodeLoad(2, fx=10.0)]])


def beam(nodes, spacing=10.0):
    xy = np.stack((np.arange(nodes) * spacing, np.zeros(nodes)), axis=1)
    frame = Frame(xy, (Piece(tuple(range(nodes)), EA, EI),), (Support(0, **PIN), Support(nodes - 1, **ROLL)))
    span = (nodes - 1) * spacing
    return frame, [[LineLoad(0, 0.0, span, qy=(-1.0, -1.0))]], span**2 / 8.0


def test_a_beam_of_hundreds_of_bays_is_right():
    frame, cases, moment = beam(501)
    assert analyse(frame, cases).m.max() == pytest.approx(moment, rel=1e-5)


@pytest.mark.parametrize("nodes", [5001, 20001])
def test_a_beam_of_thousands_of_bays_is_refused(nodes):
    """Every pivot is sound, and the moment would be 0.2 % or 69 % off."""
    frame, cases, _ = beam(nodes)
    with pytest.raises(IllConditioned) as info:
        analyse(frame, cases)
    assert info.value.condition > 1e12


def test_twenty_thousand_nodes(workloads):
    frame, cases, _ = workloads.chord(20_000)
    response = analyse(frame, cases[1:2], stations=2)
    span = frame.xy[:, 0].max()
    assert response.reactions.sum(axis=1)[0, :2] == pytest.approx([0.0, 0.45 * span], abs=1e-6 * span)
    assert response.balanced


def test_twenty_thousand_nodes_with_one_forgotten():
    xy = np.stack((np.arange(20_000) * 500.0, np.zeros(20_000)), axis=1)
    pieces = tuple(Piece((k, k + 1), EA, EI, start=inf, end=0.0 if k == 9999 else inf) for k in range(19_999))
    pieces = (*pieces[:10_000], Piece((10_000, 10_001), EA, EI), *pieces[10_001:])
    with pytest.raises((Mechanism, IllConditioned)):
        analyse(Frame(xy, pieces, (Support(0, **CLAMP),)), [[]])


def test_supports_that_fight_over_a_length():
    frame = Frame(XY[[0, 2]], (Piece((0, 1), EA, EI),), (Support(0, **PIN), Support(1, **PIN)))
    response = analyse(frame, [[LengthChange(0, 1e-3)], [SettlementLoad(1, x=3.0)], [SettlementLoad(0, x=3.0), SettlementLoad(1, x=3.0)]])
    assert response.n[:, 0] == pytest.approx([-EA * 1e-3, EA * 3.0 / 6000.0, 0.0], abs=1e-6)
    assert response.reactions[:, 1, 0] == pytest.approx([-EA * 1e-3, EA * 3.0 / 6000.0, 0.0], abs=1e-6)


def test_supports_that_fight_over_one_node():
    with pytest.raises(BadSupport) as info:
        analyse(truss(supports=(Support(0, **PIN), Support(2, **ROLL), Support(0, y=True, inclined=0.3))), [[]])
    assert (info.value.support, info.value.node) == (2, 0)


def test_three_rollers_whose_lines_meet():
    """As many reactions as a body needs, and it turns about the point where they meet all the same."""
    xy = np.array([(0.0, 0.0), (2000.0, 0.0), (1000.0, 1000.0)])
    triangle = tuple(Piece(ends, EA, EI) for ends in ((0, 1), (1, 2), (0, 2)))
    supports = tuple(Support(k, y=True, inclined=atan2(y - 300.0, x - 1000.0) - pi / 2.0) for k, (x, y) in enumerate(xy))
    with pytest.raises(Mechanism) as info:
        analyse(Frame(xy, triangle, supports), [[NodeLoad(2, fx=1.0)]])
    assert {node for node, _ in info.value.loose} == {0, 1, 2}


@pytest.mark.parametrize("load", [NodeLoad(1, fy=-500.0), PointLoad(0, 2000.0, fy=-500.0)])
def test_a_load_on_a_free_end(load):
    response = analyse(cantilever(), [[load]])
    assert response.displacements[0, 1, 1] == pytest.approx(-500.0 * 2000.0**3 / (3.0 * EI))
    assert response.m[0, 0] == pytest.approx(-500.0 * 2000.0)
    assert response.m[0, -1] == pytest.approx(0.0, abs=1e-6)
    assert response.v[0, -2] == pytest.approx(500.0)


def test_a_moment_on_a_free_end():
    response = analyse(cantilever(), [[NodeLoad(1, m=1e6)], [PointLoad(0, 2000.0, m=1e6)]])
    assert response.displacements[:, 1, 1] == pytest.approx([1e6 * 2000.0**2 / (2.0 * EI)] * 2)
    assert response.m[:, 0] == pytest.approx([1e6] * 2)


def test_a_moment_on_a_pin():
    with pytest.raises(BadLoad):
        analyse(truss(), [[NodeLoad(3, m=1.0)]])


def test_a_load_that_ends_beyond_a_free_end():
    with pytest.raises(BadLoad):
        analyse(cantilever(), [[LineLoad(0, 1500.0, 2001.5, qy=(-1.0, -1.0))]])


def test_thousands_of_cases_and_combinations():
    cases = [[NodeLoad(3, fy=-float(k)), LineLoad(0, 0.0, 6000.0, qy=(-0.001 * k, -0.001 * k))] for k in range(4000)]
    response = analyse(truss(), cases, stations=3)
    factors = np.zeros((1000, 4000))
    factors[np.arange(1000), np.arange(3000, 4000)] = 1.5
    combined = response.combine(factors)
    carried = 1.5 * np.arange(3000, 4000) * (1.0 + 6.0)
    assert combined.reactions[..., 1].sum(axis=1) == pytest.approx(carried)
    assert combined.m[500] == pytest.approx(1.5 * response.m[3500], abs=1e-6)
    assert response.balanced
