"""Loads that may stand anywhere or act in part, against closed forms and against trying every arrangement."""

from itertools import product

import numpy as np
import pytest

from solver import (
    Frame,
    LengthChange,
    LineLoad,
    NodeLoad,
    Piece,
    PointLoad,
    Support,
    analyse,
    envelopes,
    patches,
    stances,
    standing,
    worst_patches,
    worst_stance,
)

L, EA, EI, Q, P = 4000.0, 1e9, 1e11, 2.0, 900.0
TWO_SPANS = Frame(
    np.array([(0.0, 0.0), (L, 0.0), (2 * L, 0.0)]),
    (Piece((0, 1, 2), EA, EI),),
    (Support(0, x=True, y=True), Support(1, y=True), Support(2, y=True)),
)


def test_patches_carry_the_whole_load():
    case = [LineLoad(0, 500.0, 7000.0, (0.0, 0.4), (-1.0, -3.0)), PointLoad(0, 100.0, fy=-5.0), NodeLoad(1, fy=-7.0)]
    parts = patches(TWO_SPANS, case)
    assert len(parts) == 4
    whole, cut = analyse(TWO_SPANS, [case]), analyse(TWO_SPANS, parts)
    assert cut.reactions.sum(axis=0) == pytest.approx(whole.reactions[0], abs=1e-6)


def test_lines_that_cannot_act_in_part():
    with pytest.raises(ValueError, match="LengthChange"):
        patches(TWO_SPANS, [LengthChange(0, 0.1)])


def test_worst_span_loading():
    """Two equal spans: support moment with both loaded -qL²/8; field moment with one loaded 49/512 qL² at 7/16 L (three-moment equation)."""
    table = analyse(TWO_SPANS, patches(TWO_SPANS, [LineLoad(0, 0.0, 2 * L, qy=(-Q, -Q))]), stations=17)
    low, high = worst_patches(table, "m", -1), worst_patches(table, "m", 1)
    middle = np.flatnonzero(table.layout.at == L)[0]
    assert low.m[middle] == pytest.approx(-Q * L**2 / 8)
    assert low.on[:, middle].tolist() == [True, True]
    field = int(high.m[:17].argmax())
    assert table.layout.at[field] == pytest.approx(7 / 16 * L)
    assert high.m[field] == pytest.approx(49 / 512 * Q * L**2)
    assert high.on[:, field].tolist() == [True, False]
    assert high.v[field] == pytest.approx(0.0, abs=1e-9 * Q * L)


@pytest.mark.parametrize("quantity", ["n", "v", "m", "ux", "uy", "across"])
@pytest.mark.parametrize("sign", [1, -1])
def test_patches_against_every_arrangement(quantity, sign, workloads):
    frame, cases, _ = workloads.fink()
    parts = patches(frame, cases[0])[:6]
    table = analyse(frame, parts, stations=3)
    every = np.array(list(product([0.0, 1.0], repeat=len(parts))))
    values = sign * getattr(table.combine(every), quantity)
    worst = worst_patches(table, quantity, sign)
    assert sign * getattr(worst, quantity) == pytest.approx(values.max(axis=0), rel=1e-9, abs=1e-9)
    station = 7
    arrangement = table.combine(worst.on[:, station].astype(float)[None])
    for name in ("n", "v", "m", "ux", "uy", "across"):
        assert getattr(worst, name)[station] == pytest.approx(getattr(arrangement, name)[0, station], abs=1e-9)


def test_person_on_a_simple_beam():
    """M = P a b / L under the person, wherever the person stands."""
    frame = Frame(np.array([(0.0, 0.0), (L, 0.0)]), (Piece((0, 1), EA, EI),), (Support(0, x=True, y=True), Support(1, y=True)))
    places = stances(frame, [0], per_bay=8)
    assert [place.at for place in places] == pytest.approx(np.linspace(0.0, L, 9))
    table = analyse(frame, standing(places, fy=-P), stations=9)
    worst = worst_stance(table, "m", 1)
    at = table.layout.at
    assert worst.m == pytest.approx(P * at * (L - at) / L, abs=1e-6)
    stood = np.array([places[k].at for k in worst.on.argmax(axis=0)])
    inner = (at > 0.0) & (at < L)
    assert stood[inner] == pytest.approx(at[inner])
    assert (worst.on.sum(axis=0) == 1).all()


def test_roving_and_fixed_cases_share_one_analysis(workloads):
    frame, cases, _ = workloads.fink()
    places = stances(frame, [2], per_bay=4)
    response = analyse(frame, [*cases, *standing(places, fy=-P)])
    alone = analyse(frame, standing(places, fy=-P))
    rows = response.rows(slice(len(cases), None))
    assert worst_stance(rows, "m", 1).m.max() == pytest.approx(worst_stance(alone, "m", 1).m.max())
    assert rows.reactions == pytest.approx(alone.reactions)
    assert rows.uy == pytest.approx(alone.uy)


def test_places_of_a_roving_load():
    with pytest.raises(ValueError, match="per_bay"):
        stances(TWO_SPANS, [0], per_bay=0)
    assert len(stances(TWO_SPANS, [0], per_bay=3)) == 7


def test_envelopes_name_their_combination(workloads, monkeypatch):
    frame, cases, factors = workloads.fink()
    response = analyse(frame, cases)
    combined = response.combine(factors)
    whole = envelopes(response, factors, ("n", "m", "uy"))
    monkeypatch.setattr("solver.envelope.BLOCK_BYTES", 1)
    for found in (whole, envelopes(response, factors, ("n", "m", "uy"))):
        for name in ("n", "m", "uy"):
            values = getattr(combined, name)
            station, size = np.arange(values.shape[1]), 1e-9 * np.abs(values).max()
            assert found[name].high == pytest.approx(values.max(axis=0), abs=size)
            assert found[name].low == pytest.approx(values.min(axis=0), abs=size)
            assert values[found[name].high_in, station] == pytest.approx(found[name].high, abs=size)
            assert values[found[name].low_in, station] == pytest.approx(found[name].low, abs=size)
