"""What is wrong with a frame comes back as a fault that says where; what is merely hard comes back right."""

from dataclasses import replace
from math import inf, nan

import numpy as np
import pytest

from solver import (
    BadGeometry,
    BadLoad,
    BadStiffness,
    BadSupport,
    Disconnected,
    Frame,
    IllConditioned,
    LengthChange,
    LineLoad,
    Mechanism,
    NodeLoad,
    NoHorizontalRestraint,
    NonFinite,
    NoSupport,
    NothingHoldsDown,
    Piece,
    PointLoad,
    SettlementLoad,
    SolverFault,
    Support,
    analyse,
    natural_modes,
)

EA, EI = 1e8, 1e11
PIN, ROLL = {"x": True, "y": True}, {"y": True}
XY = np.array([(0.0, 0.0), (3000.0, 0.0), (6000.0, 0.0), (3000.0, 2000.0)])
TRUSS = Frame(
    XY,
    (Piece((0, 1, 2), EA, EI), Piece((0, 3), EA, EI), Piece((3, 2), EA, EI), Piece((1, 3), EA, EI)),
    (Support(0, **PIN), Support(2, **ROLL)),
)


def with_piece(number, **changes):
    pieces = list(TRUSS.pieces)
    pieces[number] = replace(pieces[number], **changes)
    return replace(TRUSS, pieces=tuple(pieces))


def at_nodes(**moved):
    xy = XY.copy()
    for name, place in moved.items():
        xy[int(name[1:])] = place
    return replace(TRUSS, xy=xy)


def caught(fault, frame, case=(), **kwargs):
    with pytest.raises(fault) as info:
        analyse(frame, [list(case)], **kwargs)
    assert isinstance(info.value, SolverFault)
    assert str(info.value) or fault in (NoSupport, NoHorizontalRestraint)
    return info.value


def test_the_truss_itself_is_sound():
    assert analyse(TRUSS, [[NodeLoad(3, fy=-1000.0)]]).balanced


@pytest.mark.parametrize(
    ("frame", "kind", "piece"),
    [
        (Frame(np.zeros((2, 3)), TRUSS.pieces, TRUSS.supports), "too-short", None),
        (Frame(XY, (), TRUSS.supports), "too-short", None),
        (with_piece(1, nodes=(0,)), "too-short", 1),
        (with_piece(1, nodes=(0, 9)), "unknown-node", 1),
        (with_piece(1, nodes=(0, -1)), "unknown-node", 1),
        (at_nodes(n1=(3000.0, 1.5)), "bent", 0),
        (at_nodes(n1=(7000.0, 0.0)), "doubles-back", 0),
        (with_piece(0, nodes=(0, 2, 0)), "doubles-back", 0),
        (with_piece(0, nodes=(0, 1, 1, 2)), "no-length", 0),
        (with_piece(1, start_offset=(3000.0, 2000.0)), "no-length", 1),
        (at_nodes(n3=(3000.0, 5e-4)), "coincident", None),
    ],
)
def test_geometry(frame, kind, piece):
    fault = caught(BadGeometry, frame)
    assert (fault.kind, fault.piece) == (kind, piece)


def test_coincident_nodes_are_named():
    assert caught(BadGeometry, at_nodes(n3=(3000.0, 0.0))).nodes == (1, 3)


def test_nodes_on_one_slope_are_not_coincident():
    frame = Frame(
        np.array([(0.0, 0.0), (-0.6180339887498949e3, 1e3), (2000.0, 0.0)]), (Piece((0, 1), EA, EI), Piece((1, 2), EA, EI)), TRUSS.supports
    )
    frame = replace(frame, pieces=(*frame.pieces, Piece((0, 2), EA, EI)))
    assert analyse(frame, [[NodeLoad(1, fy=-1.0)]]).balanced


@pytest.mark.parametrize("field", ["ea", "ei", "ga"])
@pytest.mark.parametrize("value", [0.0, -1.0])
def test_stiffness_must_be_positive(field, value):
    fault = caught(BadStiffness, with_piece(2, **{field: value}))
    assert (fault.part, fault.index, fault.field, fault.value) == ("piece", 2, field, value)


@pytest.mark.parametrize("field", ["mass", "start", "end"])
def test_joints_and_mass_are_not_negative(field):
    assert caught(BadStiffness, with_piece(2, **{field: -1.0})).field == field


@pytest.mark.parametrize("field", ["spring_x", "spring_y", "spring_rotation"])
@pytest.mark.parametrize("value", [-1.0, inf, nan])
def test_springs(field, value):
    fault = caught(BadStiffness, replace(TRUSS, supports=(*TRUSS.supports, Support(1, **{field: value}))))
    assert (fault.part, fault.index, fault.field) == ("support", 2, field)


@pytest.mark.parametrize(
    "frame",
    [
        at_nodes(n3=(nan, 0.0)),
        at_nodes(n3=(inf, 0.0)),
        with_piece(1, ea=inf),
        with_piece(1, ei=nan),
        with_piece(1, ga=nan),
        with_piece(1, end_offset=(nan, 0.0)),
        replace(TRUSS, supports=(Support(0, **PIN), Support(2, **ROLL, inclined=nan))),
        replace(TRUSS, supports=(Support(0, **PIN), Support(2, **ROLL, offset=(inf, 0.0)))),
    ],
)
def test_numbers_must_be_finite(frame):
    caught(NonFinite, frame)


@pytest.mark.parametrize(
    "load",
    [
        LineLoad(0, 0.0, 6000.0, qy=(nan, nan)),
        LineLoad(0, 0.0, 6000.0, qy=(inf, inf)),
        LineLoad(0, 0.0, 50.0, qy=(inf, 1.0)),
        PointLoad(0, 10.0, fy=inf),
        NodeLoad(3, fy=nan),
        LengthChange(0, nan),
        SettlementLoad(1, y=nan),
    ],
)
def test_loads_must_be_finite(load):
    caught(NonFinite, TRUSS, [load])


def test_factors_must_be_finite_and_fit():
    response = analyse(TRUSS, [[NodeLoad(3, fy=-1.0)]])
    with pytest.raises(NonFinite):
        response.combine([[nan]])
    with pytest.raises(ValueError, match=r"\(K, 1\)"):
        response.combine([[1.0, 2.0]])


@pytest.mark.parametrize(
    ("load", "words"),
    [
        (LineLoad(9, 0.0, 1.0), "no piece"),
        (LineLoad(0, 0.0, 6002.0), "does not lie"),
        (LineLoad(0, -2.0, 100.0), "does not lie"),
        (LineLoad(0, 200.0, 100.0), "does not lie"),
        (PointLoad(0, 6002.0), "does not lie"),
        (PointLoad(-1, 1.0), "no piece"),
        (NodeLoad(7, fy=1.0), "no node"),
        (NodeLoad(3, m=1.0), "nothing rotates with"),
        (LengthChange(4, 0.1), "no piece"),
        (LengthChange(0, 0.1, bay=7), "no bay 7"),
        (SettlementLoad(2, y=1.0), "no support"),
        (SettlementLoad(1, x=1.0), "neither holds nor springs x"),
    ],
)
def test_loads(load, words):
    fault = caught(BadLoad, TRUSS, [NodeLoad(3, fy=-1.0), load])
    assert (fault.case, fault.load) == (0, 1)
    assert words in fault.because


def test_loads_within_a_millimetre_of_the_end_count():
    response = analyse(TRUSS, [[PointLoad(0, 6000.5, fy=-1000.0)], [LineLoad(0, -0.5, 6000.5, qy=(-1.0, -1.0))]])
    assert response.balanced
    assert response.reactions[0, 1, 1] == pytest.approx(1000.0)


def test_supports():
    fault = caught(BadSupport, replace(TRUSS, supports=(*TRUSS.supports, Support(9, y=True))))
    assert (fault.support, fault.node) == (2, 9)
    assert caught(BadSupport, replace(TRUSS, supports=(*TRUSS.supports, Support(2, x=True)))).support == 2
    caught(NoSupport, replace(TRUSS, supports=()))
    caught(NoSupport, replace(TRUSS, supports=(Support(0),)))
    caught(NoHorizontalRestraint, replace(TRUSS, supports=(Support(0, y=True), Support(2, y=True))))
    caught(NothingHoldsDown, replace(TRUSS, supports=(Support(0, **PIN, push_only=True), Support(2, **ROLL, push_only=True))))


def test_an_inclined_roller_may_hold_sideways():
    frame = replace(TRUSS, supports=(Support(0, y=True, inclined=1.0), Support(2, y=True), Support(1, y=True)))
    assert analyse(frame, [[NodeLoad(3, fx=10.0)]]).balanced


def test_parts_are_named():
    xy = np.concatenate((XY, [(9000.0, 0.0), (9000.0, 900.0)]))
    frame = Frame(xy, (*TRUSS.pieces, Piece((4, 5), EA, EI)), (*TRUSS.supports, Support(4, **PIN, rotation=True)))
    assert caught(Disconnected, frame).parts == ((0, 1, 2, 3), (4, 5))
    assert caught(Disconnected, replace(TRUSS, xy=np.concatenate((XY, [(0.0, 9.0)])))).parts == ((0, 1, 2, 3), (4,))


def test_a_sway_mechanism_names_every_loose_direction():
    xy = np.array([(0.0, 0.0), (0.0, 3000.0), (4000.0, 3000.0), (4000.0, 0.0)])
    pinned = Frame(xy, (Piece((0, 1), EA, EI), Piece((1, 2), EA, EI), Piece((2, 3), EA, EI)), (Support(0, **PIN), Support(3, **PIN)))
    assert set(caught(Mechanism, pinned).loose) == {(1, "x"), (2, "x")}


def test_a_node_without_stiffness_in_one_direction():
    xy = np.array([(0.0, 0.0), (0.0, 3000.0)])
    assert caught(Mechanism, Frame(xy, (Piece((0, 1), EA, EI),), (Support(0, **PIN),))).loose == ((1, "x"),)


def test_a_bearing_off_a_node_that_nothing_turns_with():
    frame = replace(TRUSS, supports=(Support(0, **PIN, offset=(0.0, -60.0)), Support(2, **ROLL)))
    assert (0, "rotation") in caught(Mechanism, frame).loose


def test_a_mechanism_of_many_unknowns(workloads):
    frame, cases, _ = workloads.joist()
    pieces = tuple(p for k, p in enumerate(frame.pieces) if k not in (2, 3))
    pieces = (*pieces, Piece((0, 21), EA, EI))
    assert analyse(replace(frame, pieces=pieces), cases).balanced  # chords bend instead
    xy = np.stack((np.arange(80) * 500.0, np.zeros(80)), axis=1)
    chain = tuple(Piece((k, k + 1), EA, EI) for k in range(79))
    loose = caught(Mechanism, Frame(xy, chain, (Support(0, **PIN), Support(79, **PIN)))).loose
    assert {direction for _, direction in loose} == {"y"}


def test_springs_alone_may_hold():
    frame = replace(TRUSS, supports=(Support(0, spring_x=100.0, spring_y=100.0), Support(2, spring_y=100.0)))
    response = analyse(frame, [[NodeLoad(3, fy=-1000.0)]])
    assert response.displacements[0, 0, 1] == pytest.approx(-5.0)
    assert response.balanced


@pytest.mark.parametrize("ratio", [1e6, 1e10])
def test_stiff_beyond_soft_is_still_right(ratio):
    """A stiff piece at the end of a soft one: exact answer known from statics and Hooke."""
    xy = np.array([(0.0, 0.0), (1000.0, 0.0), (2000.0, 0.0)])
    pieces = (Piece((0, 1), 1e5, 1e9, start=inf, end=inf), Piece((1, 2), 1e5 * ratio, 1e9 * ratio, start=inf))
    response = analyse(Frame(xy, pieces, (Support(0, **PIN, rotation=True),)), [[NodeLoad(2, fx=10.0)]])
    assert response.displacements[0, 2, 0] == pytest.approx(0.1, rel=1e-4)
    assert response.condition > 0.1 * ratio
    assert response.digits == int(15.9 - np.log10(response.condition))


def test_too_stiff_beyond_too_soft_is_refused():
    xy = np.array([(0.0, 0.0), (1000.0, 0.0), (2000.0, 0.0)])
    pieces = (Piece((0, 1), 1.0, 1e4, start=inf, end=inf), Piece((1, 2), 1e14, 1e18, start=inf))
    assert caught(IllConditioned, Frame(xy, pieces, (Support(0, **PIN, rotation=True),)), [NodeLoad(2, fx=10.0)]).condition > 1e12


def test_everything_held():
    frame = Frame(XY[:2], (Piece((0, 1), EA, EI),), (Support(0, **PIN), Support(1, **PIN)))
    response = analyse(frame, [[LineLoad(0, 0.0, 3000.0, qy=(-2.0, -2.0))]])
    assert response.m.max() == pytest.approx(2.0 * 3000.0**2 / 8.0)
    assert response.condition == 1.0
    assert response.balanced


def test_no_loads_and_no_cases():
    assert analyse(TRUSS, [[]]).residual == 0.0
    none = analyse(TRUSS, [])
    assert none.n.shape[0] == 0
    assert none.residual == 0.0


def test_stations_must_be_two_or_more():
    with pytest.raises(ValueError, match="2 or more"):
        analyse(TRUSS, [[]], stations=1)


def test_vibration_without_mass():
    with pytest.raises(ValueError, match="mass"):
        natural_modes(TRUSS)


@pytest.mark.parametrize("mass", [(9, 1.0), (-1, 1.0), (0, -1.0), (0, nan), (0, inf)])
def test_masses(mass):
    with pytest.raises(ValueError, match="masses must be"):
        natural_modes(TRUSS, masses=[mass])


def test_thousands_of_cases():
    response = analyse(TRUSS, [[NodeLoad(3, fy=-float(k))] for k in range(3000)])
    assert response.reactions[2000, :, 1] == pytest.approx([1000.0, 1000.0])
