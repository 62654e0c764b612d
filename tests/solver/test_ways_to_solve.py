"""Dense, banded and sparse, in any numbering, all at once or a few modes: the way a frame is solved does not show in the answer."""

from dataclasses import replace
from itertools import pairwise
from math import inf

import numpy as np
import pytest
from scipy.sparse.linalg import ArpackNoConvergence

from solver import (
    BearingsCycle,
    Frame,
    IllConditioned,
    Imperfection,
    LineLoad,
    Mechanism,
    NodeLoad,
    NonFinite,
    Piece,
    SettlementLoad,
    Support,
    Unstable,
    analyse,
    buckles_above,
    buckling,
    natural_modes,
    second_order,
)
from solver import lifting as lifting_module
from solver.mesh import mesh
from solver.numbering import DENSE_UNKNOWNS, numbering


def serpentine(rows=14):
    """A long string of nodes folded into a square and numbered at random: narrow along the string, wide along either axis."""
    name = np.random.default_rng(5).permutation(rows * rows)
    xy = np.empty((rows * rows, 2))
    for k, node in enumerate(name):
        row, place = divmod(k, rows)
        xy[node] = 900.0 * (place if row % 2 == 0 else rows - 1 - place), 900.0 * row
    string = name.tolist()
    pieces = tuple(Piece(ends, 1e8, 1e11, start=inf, end=inf) for ends in pairwise(string))
    supports = tuple(Support(k, x=True, y=True) for k in string[::8])
    return Frame(xy, pieces, supports), [[NodeLoad(k, fx=100.0, fy=-50.0) for k in string[3::5]]]


@pytest.mark.parametrize("way", ["_dense", "_sparse"])
@pytest.mark.parametrize("name", ["fink", "joist", "lattice"])
def test_ways_agree(way, name, workloads, monkeypatch):
    frame, cases, _ = workloads.lattice(100) if name == "lattice" else getattr(workloads, name)()
    frame = replace(frame, supports=(*frame.supports, Support(len(frame.xy) - 2, spring_y=700.0)))
    usual = analyse(frame, cases)
    monkeypatch.setattr("solver.statics.DENSE_UNKNOWNS", 10_000 if way == "_dense" else 0)
    monkeypatch.setattr("solver.statics.BAND_WORK", -1.0)
    other = analyse(frame, cases)
    for part in ("n", "v", "m", "uy"):
        assert np.abs(getattr(other, part) - getattr(usual, part)).max() < 1e-9 * np.abs(getattr(usual, part)).max()
    assert other.pivot > 1e-6
    assert other.condition == pytest.approx(usual.condition, rel=0.02)


def test_sparse_mechanisms(monkeypatch):
    monkeypatch.setattr("solver.statics.DENSE_UNKNOWNS", 0)
    monkeypatch.setattr("solver.statics.BAND_WORK", -1.0)
    xy = np.array([(0.0, 0.0), (0.0, 3000.0), (4000.0, 3000.0), (4000.0, 0.0)])
    pieces = tuple(Piece(ends, 1e8, 1e11) for ends in ((0, 1), (1, 2), (2, 3)))
    for supports in ((Support(0, x=True, y=True), Support(3, x=True, y=True)), (Support(0, x=True, y=True), Support(3, y=True))):
        with pytest.raises(Mechanism):
            analyse(Frame(xy, pieces, supports), [[]])


def test_the_narrower_numbering_is_taken():
    frame, cases = serpentine()
    numbers = numbering(mesh(frame))
    assert numbers.size > DENSE_UNKNOWNS
    assert numbers.width <= 12
    assert analyse(frame, cases).balanced


def test_tall_frames_are_numbered_upwards(workloads):
    frame, _, _ = workloads.joist()
    turn = np.array([[0.0, -1.0], [1.0, 0.0]])
    supports = tuple(replace(s, inclined=np.pi / 2) for s in frame.supports)
    tall = Frame(frame.xy @ turn.T, frame.pieces, supports)
    assert numbering(mesh(tall)).width == numbering(mesh(frame)).width


def test_loads_beyond_floating_point(workloads):
    frame, _, _ = workloads.fink()
    with pytest.raises(NonFinite):
        analyse(frame, [[NodeLoad(3, fx=1e308), NodeLoad(3, fx=1e308)]])
    soft = replace(frame, supports=(Support(1, spring_x=1e-3, y=True), Support(5, y=True)))
    with pytest.raises(NonFinite):
        analyse(soft, [[NodeLoad(3, fx=1e307)]])


def test_few_modes_and_all_agree(workloads, monkeypatch):
    frame, cases, factors = workloads.joist()
    heavy = replace(frame, pieces=tuple(replace(p, mass=0.002) for p in frame.pieces))
    iterated = buckling(frame, cases, factors[:2], divisions=3)
    notes = natural_modes(heavy, divisions=3)
    monkeypatch.setattr("solver.modes.DENSE_MODES", 10_000)
    for one, other in zip(iterated, buckling(frame, cases, factors[:2], divisions=3), strict=True):
        assert one.factors == pytest.approx(other.factors, rel=1e-7)
    assert notes.frequencies == pytest.approx(natural_modes(heavy, divisions=3).frequencies, rel=1e-7)


def test_modes_that_are_not_found(workloads, monkeypatch):
    def never(*_, **__):
        raise ArpackNoConvergence("no", np.zeros(0), np.zeros(0))

    monkeypatch.setattr("solver.modes.DENSE_MODES", 0)
    monkeypatch.setattr("solver.modes.eigsh", never)
    frame, cases, factors = workloads.fink()
    with pytest.raises(IllConditioned):
        buckling(frame, cases, factors[:1])


@pytest.mark.parametrize("name", ["fink", "joist"])
def test_above_a_limit_without_modes(name, workloads):
    frame, cases, factors = getattr(workloads, name)()
    exact = np.array([answer.factor for answer in buckling(frame, cases, factors[:5], count=1)])
    for share, expected in ((0.999, True), (1.001, False)):
        for k, factor in enumerate(exact):
            assert buckles_above(frame, cases, factors[k : k + 1], share * factor)[0] == expected


def test_nothing_to_buckle():
    frame = Frame(
        np.array([(0.0, 0.0), (900.0, 0.0)]), (Piece((0, 1), 1e8, 1e11),), (Support(0, x=True, y=True), Support(1, x=True, y=True))
    )
    (answer,) = buckling(frame, [[LineLoad(0, 0.0, 900.0, qx=(1.0, 1.0))]], [[1.0]], divisions=1)
    assert answer.factor == inf
    still = replace(frame, pieces=(replace(frame.pieces[0], mass=0.01),))
    assert len(natural_modes(still, divisions=1).frequencies) == 0


def test_modes_that_are_rounding(workloads, monkeypatch):
    """A mode whose own energies deny it is refused."""
    monkeypatch.setattr("solver.modes.energy", lambda *_: 0.5)
    frame, cases, factors = workloads.fink()
    with pytest.raises(IllConditioned):
        buckling(frame, cases, factors[:1])


def test_second_order_of_small_loads_is_first_order(workloads):
    """Springs, arms, bearings off their nodes, settlement and all: with axial forces near zero both roads meet."""
    for seed in range(4):
        frame, cases = workloads.harder_frame(seed)
        small = 1e-7
        first = analyse(frame, cases, stations=9).combine(small * np.eye(len(cases)))
        second = second_order(frame, cases, small * np.eye(len(cases)), divisions=2, stations=5)
        assert np.abs(second.reactions - first.reactions).max() < 1e-5 * np.abs(first.reactions).max()
        assert np.abs(second.displacements[:, : len(frame.xy)] - first.displacements).max() < 1e-5 * np.abs(first.displacements).max()
        for part in ("n", "m", "uy"):
            one, other = getattr(first, part), getattr(second, part)
            assert other.max() == pytest.approx(one.max(), rel=1e-4)


def test_an_arm_acts_as_a_stiff_piece():
    """Buckling of a strut on a rigid arm, the arm modelled by a very stiff piece instead."""
    arm, length = 400.0, 3000.0
    base = {"ea": 1e9, "ei": 1e11, "start": inf}
    foot = Support(0, x=True, y=True, rotation=True)
    lever = Frame(
        np.array([(0.0, 0.0), (0.0, length + arm)]), (Piece((0, 1), **base, end=inf, end_offset=(0.0, -arm)),), (foot, Support(1, x=True))
    )
    stub = Frame(
        np.array([(0.0, 0.0), (0.0, length), (0.0, length + arm)]),
        (Piece((0, 1), **base, end=inf), Piece((1, 2), 1e12, 1e15, start=inf, end=inf)),
        (foot, Support(2, x=True)),
    )
    load = NodeLoad(1, fy=-1000.0)
    (with_arm,) = buckling(lever, [[load]], [[1.0]])
    (with_stub,) = buckling(stub, [[replace(load, node=2)]], [[1.0]])
    assert with_arm.factor == pytest.approx(with_stub.factor, rel=1e-3)
    side = LineLoad(0, 0.0, length, qx=(0.5, 0.5))
    factors = [[0.5 * with_arm.factor, 1.0]]
    one = second_order(lever, [[load], [side]], factors)
    other = second_order(stub, [[replace(load, node=2)], [side]], factors)
    assert np.abs(one.m).max() == pytest.approx(np.abs(other.m).max(), rel=1e-3)
    assert np.abs(one.m).max() > 1.3 * np.abs(analyse(lever, [[side]]).m).max()


def test_second_order_beyond_rest(workloads, monkeypatch):
    monkeypatch.setattr("solver.displaced.ROUNDS", 1)
    frame, cases, factors = workloads.fink()
    with pytest.raises(Unstable):
        second_order(frame, cases, factors[:1], Imperfection(sway=0.005))


def test_sway_for_each_combination():
    post = Frame(
        np.array([(0.0, 0.0), (0.0, 3000.0)]), (Piece((0, 1), 1e9, 1e11, start=inf),), (Support(0, x=True, y=True, rotation=True),)
    )
    answer = second_order(post, [[NodeLoad(1, fy=-1e4)]], np.ones((2, 1)), Imperfection(sway=np.array([0.004, -0.004])))
    assert answer.reactions[0, 0, 2] == pytest.approx(-answer.reactions[1, 0, 2])
    assert answer.reactions[0, 0, 2] > 1e4 * 3000 * 0.004


def test_a_bow_follows_the_moment():
    beam = Frame(np.array([(0.0, 0.0), (3000.0, 0.0)]), (Piece((0, 1), 1e9, 1e11),), (Support(0, x=True, y=True), Support(1, y=True)))
    cases = [
        [NodeLoad(1, fx=-1e4), LineLoad(0, 0.0, 3000.0, qy=(-1.0, -1.0))],
        [NodeLoad(1, fx=-1e4), LineLoad(0, 0.0, 3000.0, qy=(1.0, 1.0))],
    ]
    straight, bowed = (second_order(beam, cases, np.eye(2), Imperfection(bow=bow)) for bow in (0.0, 0.0025))
    assert (np.abs(bowed.m).max(axis=1) > np.abs(straight.m).max(axis=1) + 0.9 * 1e4 * 0.0025 * 3000.0).all()


def test_settlement_under_second_order():
    beam = Frame(
        np.array([(0.0, 0.0), (3000.0, 0.0), (6000.0, 0.0)]),
        (Piece((0, 1, 2), 1e9, 1e11),),
        (Support(0, x=True, y=True), Support(1, spring_y=800.0), Support(2, y=True)),
    )
    cases = [[SettlementLoad(2, y=-5.0), SettlementLoad(1, y=-3.0), NodeLoad(2, fx=10.0)]]
    first, second = analyse(beam, cases).combine([[1.0]]), second_order(beam, cases, [[1.0]])
    assert second.displacements[0, :3] == pytest.approx(first.displacements[0], abs=1e-3)


def test_the_search_for_lifted_bearings_ends(monkeypatch):
    beam = Frame(np.array([(0.0, 0.0), (1.0, 0.0)]), (), (Support(0, y=True, push_only=True), Support(1, y=True, push_only=True)))
    pushed, raised = np.zeros((1, 2, 3)), np.zeros((2, 2, 3))
    pushed[0, :, 1] = -1.0
    raised[0, :, 1], raised[1, :, 1] = (1.0, -3.0), (-3.0, 1.0)
    monkeypatch.setattr(lifting_module, "FLOATING", -inf)
    with pytest.raises(BearingsCycle):
        lifting_module.lift(beam.supports, (0, 1), pushed, raised)


def test_layout_of_even_stations(workloads):
    layout = analyse(*workloads.fink()[:2]).layout
    assert layout.even
    assert layout.beyond.sum() == 15 * 10
    assert layout.bay.max() == 4
    assert [part.stop - part.start for part in layout.slices[:3]] == [33, 33, 55]
    assert (layout.piece[layout.slices[2]] == 2).all()


@pytest.mark.parametrize("seed", range(4))
def test_a_few_at_a_time_or_all_at_once(seed, workloads, monkeypatch):
    """Blocks bound memory and the length of a step; they do not show in the answer."""
    frame, cases = workloads.harder_frame(seed)
    factors = np.random.default_rng(seed).uniform(0.0, 1e-3, (3, len(cases)))

    def answers():
        combined, bent = analyse(frame, cases).combine(factors), second_order(frame, cases, factors, Imperfection(0.003))
        return [getattr(table, part) for table in (combined, bent) for part in ("n", "v", "m", "uy", "reactions")]

    usual = answers()
    monkeypatch.setattr("solver.incidence.BLOCK", 1)
    for one, other in zip(usual, answers(), strict=True):
        assert np.abs(one - other).max() <= 1e-9 * np.abs(one).max()
