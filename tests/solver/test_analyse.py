"""First checks of the analysis on beams whose answers fit on a line."""

import gc
import weakref

import numpy as np
import pytest

from solver import Frame, Imperfection, LineLoad, Mechanism, NothingHoldsDown, Piece, PointLoad, Support, analyse, second_order
from solver.mesh import mesh

L, EA, EI = 8000.0, 1e8, 1e11


def beam(nodes=(0.0, L), supports=None):
    xy = np.array([(x, 0.0) for x in nodes])
    supports = supports or (Support(0, x=True, y=True), Support(len(nodes) - 1, y=True))
    return Frame(xy, (Piece(tuple(range(len(nodes))), EA, EI),), supports)


def test_uniform_load_on_a_simple_beam():
    response = analyse(beam(), [[LineLoad(0, 0.0, L, qy=(-1.0, -1.0))]])
    assert response.m.max() == pytest.approx(L**2 / 8)
    assert response.uy.min() == pytest.approx(-5 * L**4 / (384 * EI))
    assert response.reactions[0, :, 1] == pytest.approx([L / 2, L / 2])
    assert response.balanced


def test_point_load_has_a_station_on_each_side():
    response = analyse(beam(), [[PointLoad(0, 3000.0, fy=-1000.0)]])
    here = np.flatnonzero(response.layout.at == 3000.0)
    assert response.v[0, here] == pytest.approx([625.0, -375.0])
    assert response.m.max() == pytest.approx(1000.0 * 3000 * 5000 / L)


def test_a_lifting_bearing_is_let_go():
    supports = (Support(0, x=True, y=True), Support(1, y=True), Support(2, y=True, push_only=True))
    response = analyse(beam((0.0, 4000.0, 8000.0), supports), [[PointLoad(0, 2000.0, fy=-1000.0)], [PointLoad(0, 6000.0, fy=-1000.0)]])
    combined = response.combine([[1.0, 0.0], [1.0, 1.0]])
    assert combined.lifted.tolist() == [[False, False, True], [False, False, False]]
    assert combined.reactions[0, :, 1] == pytest.approx([500.0, 500.0, 0.0], abs=1e-9)


def test_bearings_that_all_may_lift_are_refused():
    with pytest.raises(NothingHoldsDown):
        analyse(beam(supports=(Support(0, x=True, y=True, push_only=True), Support(1, y=True, push_only=True))), [[]])


def test_a_mechanism_is_named():
    frame = Frame(
        np.array([(0.0, 0.0), (L, 0.0), (2 * L, 0.0)]), (Piece((0, 1), EA, EI), Piece((1, 2), EA, EI)), beam((0.0, L, 2 * L)).supports
    )
    with pytest.raises(Mechanism) as caught:
        analyse(frame, [[]])
    assert caught.value.loose == ((1, "y"),)


def test_a_frame_is_checked_once_however_often_it_is_analysed():
    frame = beam()
    one, other = analyse(frame, [[]]), analyse(frame, [[], []])
    assert one.layout.mesh is other.layout.mesh is mesh(frame)
    assert mesh(beam()) is not mesh(frame)


def test_a_frame_cannot_be_changed_behind_its_checks():
    xy = np.array([(0.0, 0.0), (L, 0.0)])
    frame = Frame(xy, (Piece((0, 1), EA, EI),), beam().supports)
    xy[1, 0] = 2.0 * L
    assert mesh(frame).reach.tolist() == [L]
    with pytest.raises(ValueError, match="read-only"):
        frame.xy[1, 0] = 2.0 * L


def test_what_was_answered_goes_without_being_searched_for():
    load = [LineLoad(0, 0.0, L, qy=(-1.0, -1.0))]
    gc.collect()
    gc.disable()
    try:
        frame = beam((0.0, 4000.0, L))
        response = analyse(frame, [load])
        combined = response.combine([[1.0]])
        assert response.balanced
        assert all(part.size for part in (combined.n, combined.uy, combined.reactions))
        bent = second_order(frame, [load], np.ones((1, 1)), Imperfection(0.003, 0.002))
        left = [weakref.ref(each) for each in (frame.xy, response, combined, bent)]
        del frame, response, combined, bent
        assert [each() for each in left] == [None] * 4
    finally:
        gc.enable()
