"""The proof of balance notices whatever is wrong on the way from loads to reported forces, by a part in ten million already."""

from dataclasses import replace

import numpy as np
import pytest

from solver import Frame, LineLoad, Piece, PointLoad, Support, analyse
from solver.analyse import solve
from solver.balance import residual
from solver.held import called
from solver.response import BALANCED, Response

WRONG = 1.0 + 1e-7


def solved(workloads, name):
    if name == "harder":
        return solve(*workloads.harder_frame(5), 3)
    frame, cases, _ = getattr(workloads, name)()
    return solve(frame, cases, 3)


def proof(found, **changed):
    """The residual of a solution, some of what it is taken from changed."""
    every = found.response._every
    parts = {"mesh": every.layout.mesh, "loads": found.loads, "ends": every.ends, "lacked": every.lacking}
    parts |= {"moved": every.moved, "pushed": every.pushed}
    return residual(*(parts | changed).values())


def again(found, **changed):
    """The residual of a response whose states are changed."""
    return Response(found.equations, replace(found.response.states, **changed), 3, ()).residual


def with_largest(array, factor=WRONG):
    changed = np.array(array, order="C")
    changed.flat[np.abs(changed).argmax()] *= factor
    return changed


NAMES = pytest.mark.parametrize("name", ["fink", "joist", "attic", "harder"])


@NAMES
def test_what_is_right_balances(name, workloads):
    found = solved(workloads, name)
    assert proof(found) == found.response.residual < 1e-11


@NAMES
def test_a_wrong_movement_does_not(name, workloads):
    found = solved(workloads, name)
    assert again(found, moved=with_largest(found.response.states.moved)) > BALANCED


@NAMES
def test_wrong_end_forces_do_not(name, workloads):
    found = solved(workloads, name)
    for part in ("feet", "local") if found.held.sources is None else ("sources",):
        wrong = with_largest(getattr(found.held, part), 1.0001)
        assert again(found, held=found.held._replace(**{part: wrong})) > BALANCED


@NAMES
@pytest.mark.parametrize("part", ["even", "nodal"])
def test_a_load_lost_on_the_way_does_not(name, part, workloads):
    found = solved(workloads, name)
    lost = found.loads._replace(**{part: with_largest(getattr(found.loads, part), 0.999)})
    assert proof(found, loads=lost) > BALANCED
    if part == "nodal":
        assert again(found, loads=lost) > BALANCED


@NAMES
def test_a_wrong_reaction_does_not(name, workloads):
    found = solved(workloads, name)
    assert proof(found, pushed=with_largest(found.response.reactions, 1.0001)) > BALANCED


@NAMES
def test_a_wrong_factor_does_not(name, workloads):
    found = solved(workloads, name)
    equations, loads = found.equations, found.loads
    lower = np.array(equations.factor.lower)
    lower[-5, -5] *= WRONG
    wrong = equations._replace(factor=equations.factor._replace(lower=lower))
    forces = called(equations.mesh, loads, found.held)
    np.testing.assert_array_equal(equations.displace(forces, loads.settled), found.response.states.moved)
    assert again(found, moved=wrong.displace(forces, loads.settled)) > BALANCED


def test_a_piece_stiffer_than_its_forces_say_does_not(workloads):
    frame, cases, _ = workloads.fink()
    pieces = list(frame.pieces)
    pieces[0] = replace(pieces[0], ea=pieces[0].ea * 1.001)
    one, other = analyse(frame, cases), solve(replace(frame, pieces=tuple(pieces)), cases, 3)
    assert again(other, moved=one.moved) > BALANCED


def test_a_force_at_either_end_of_a_bay_belongs_to_it():
    xy = np.array([(0.0, 0.0), (3000.0, 0.0), (6000.0, 0.0)])
    supports = (Support(0, x=True, y=True), Support(2, y=True, offset=(10.0, -40.0)))
    frame = Frame(xy, (Piece((0, 1, 2), 1e8, 1e11, ga=1e7, end=np.inf),), supports)
    for at in (0.0, 3000.0, 6000.0):
        response = analyse(frame, [[PointLoad(0, at, fy=-500.0, fx=20.0)], [LineLoad(0, 0.0, at, qy=(-1.0, 0.5))]])
        assert response.residual < 1e-12
