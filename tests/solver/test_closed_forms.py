"""The analysis against closed forms: statics from closed_forms.yaml, then struts, second order and frequencies."""

import math
from math import cos, inf, pi, sqrt, tan
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML

from solver import (
    Frame,
    Imperfection,
    LengthChange,
    LineLoad,
    NodeLoad,
    Piece,
    PointLoad,
    SettlementLoad,
    Support,
    Unstable,
    analyse,
    buckles_above,
    buckling,
    curves,
    extremes,
    natural_modes,
    second_order,
)

BOOK = YAML(typ="safe").load(Path(__file__).with_name("closed_forms.yaml"))
NAMES = {**BOOK["constants"], **{name: getattr(math, name) for name in ("sqrt", "hypot", "pi", "tan", "inf")}}
TOLERANCE = 1e-9


def value(given):
    """A number, or the expression of one, in the constants of the book."""
    if isinstance(given, list):
        return tuple(value(part) for part in given)
    return eval(given, {"__builtins__": {}}, NAMES) if isinstance(given, str) else given  # the book lies beside this file


def made(kind, given, **defaults):
    return kind(**defaults, **{key: value(part) for key, part in given.items() if key not in defaults})


def frame_of(case):
    pieces = []
    for given in case["pieces"]:
        base = {"ea": NAMES["EA"], "ei": NAMES["EI"]} | {key: value(part) for key, part in given.items()}
        pieces.append(Piece(**base | {"nodes": tuple(given["nodes"])}))
    supports = [Support(**{key: value(part) for key, part in given.items()}) for given in case["supports"]]
    return Frame(np.array(value(case["nodes"]), dtype=float), tuple(pieces), tuple(supports))


def load_of(given):
    given = {key: value(part) for key, part in given.items()}
    if "line" in given:
        piece, start, end = given.pop("line")
        return LineLoad(piece, start, end, **given)
    if "point" in given:
        piece, at = given.pop("point")
        return PointLoad(piece, at, **given)
    if "settle" in given:
        return SettlementLoad(given.pop("settle"), **given)
    if "grow" in given:
        return LengthChange(given.pop("grow"), **given)
    return NodeLoad(**given)


def found(response, what, where):
    where = value(where)
    if what[:2] in ("rx", "ry", "rm") and len(what) == 2:
        return response.reactions[0, where, "xym".index(what[1])]
    if what in ("dx", "dy", "rot"):
        return response.displacements[0, where, ("dx", "dy", "rot").index(what)]
    if what.startswith(("m_high", "m_low")):
        exact = extremes(curves(response), "m")
        return getattr(exact, what[2:])[0, where]
    piece, at = where
    here = np.flatnonzero((response.layout.piece == piece) & (np.abs(response.layout.at - at) < 1e-6))
    assert len(here), f"no station at {at}"
    return getattr(response, what.rstrip("+-"))[0, here[-1] if what.endswith("+") else here[0]]


@pytest.mark.parametrize("case", BOOK["cases"], ids=lambda case: case["name"].replace(" ", "-"))
def test_statics(case):
    response = analyse(frame_of(case), [[load_of(given) for given in case["loads"]]], stations=13)
    assert response.balanced
    assert case["source"]["document"]
    assert case["source"]["seen"] in ("read", "memory")
    scale = {"m": np.abs(response.m).max(), "n": NAMES["P"], "v": NAMES["P"], "r": NAMES["P"], "u": 1.0}
    for what, where, closed in case["expect"]:
        wanted = value(closed)
        size = max(abs(wanted), 1e-3 * scale.get(what[0], abs(wanted)), 1e-30)
        assert found(response, what, where) == pytest.approx(wanted, abs=case.get("tolerance", TOLERANCE) * size), (what, where)


EI, EA, L = 2e11, 5e9, 4000.0
EULER = pi**2 * EI / L**2
HELD = {"x": True, "y": True}


def strut(start, end, supports, **more):
    return Frame(np.array([(0.0, 0.0), (0.0, L)]), (Piece((0, 1), EA, EI, start=start, end=end, **more),), supports)


BOTH_PINNED = strut(0.0, 0.0, (Support(0, **HELD), Support(1, x=True)))
FOOT_CLAMPED = strut(inf, 0.0, (Support(0, **HELD, rotation=True), Support(1, x=True)))
BOTH_CLAMPED = strut(inf, inf, (Support(0, **HELD, rotation=True), Support(1, x=True, rotation=True)))
CANTILEVER = strut(inf, 0.0, (Support(0, **HELD, rotation=True),))


@pytest.mark.parametrize(
    ("frame", "length", "error"),
    [
        # L_e / L: Euler; theoretical lengths read at https://www.efunda.com/formulae/solid_mechanics/columns/columns.cfm (2, 1, 0.7, 0.5);
        # clamped-pinned exactly from tan x = x, x = 4.493409457909 (from memory).
        (CANTILEVER, 2.0, 1e-5),
        (BOTH_PINNED, 1.0, 2e-4),
        (FOOT_CLAMPED, pi / 4.493409457909064, 1e-3),
        (BOTH_CLAMPED, 0.5, 2e-3),
    ],
    ids=["cantilever", "pinned", "clamped-pinned", "clamped"],
)
def test_euler_struts(frame, length, error):
    (answer,) = buckling(frame, [[NodeLoad(1, fy=-1000.0)]], [[1.0]])
    wanted = EULER / length**2 / 1000.0
    assert wanted <= answer.factor <= wanted * (1.0 + error)  # consistent elements never understate
    assert answer.shares[0] == pytest.approx([1.0])
    assert answer.effective_lengths[0] == pytest.approx(length * L, rel=error)


@pytest.mark.parametrize("soft", [0.01, 0.05, 0.25, 1.0, 4.0])
@pytest.mark.parametrize(("frame", "length", "error"), [(BOTH_PINNED, 1.0, 2e-4), (CANTILEVER, 2.0, 1e-4)], ids=["pinned", "cantilever"])
def test_shear_lowers_the_critical_load(frame, length, error, soft):
    """F. Engesser: 1/P = 1/P_E + 1/GA where the shear force is square to the bent axis (from memory); ``soft`` is P_E / GA."""
    euler = EULER / length**2
    sliding = strut(frame.pieces[0].start, 0.0, frame.supports, ga=euler / soft)
    cases = [[NodeLoad(1, fy=-1000.0)]]
    (answer,) = buckling(sliding, cases, [[1.0]])
    wanted = euler / (1.0 + soft) / 1000.0
    assert wanted <= answer.factor <= wanted * (1.0 + error)  # never understated
    assert (np.diff(answer.factors) >= 0.0).all()
    assert answer.factor < euler / soft / 1000.0  # the strut slides away under GA
    assert buckles_above(sliding, cases, [[1.0]], 0.999 * wanted).all()
    assert not buckles_above(sliding, cases, [[1.0]], (1.0 + error) * wanted).any()
    assert not buckles_above(sliding, cases, [[1.0]], 1.01 * euler / soft / 1000.0).any()


def test_strut_in_tension_never_buckles():
    (answer,) = buckling(BOTH_PINNED, [[NodeLoad(1, fy=1000.0)]], [[1.0]])
    assert answer.factor == inf
    assert np.isnan(answer.effective_lengths).all()


@pytest.mark.parametrize(
    ("frame", "roots", "error"),
    [
        # (βL)²: Thomson, Theory of Vibration with Applications, appendix D (clamped and cantilever read there; pinned nπ², clamped-pinned from memory)
        (BOTH_PINNED, [pi**2, 4 * pi**2, 9 * pi**2], 1e-2),
        (BOTH_CLAMPED, [22.3733, 61.6728], 1e-2),
        (CANTILEVER, [3.5160, 22.0345, 61.6972], 1e-2),
        (FOOT_CLAMPED, [15.4182, 49.9649], 1e-2),
    ],
    ids=["pinned", "clamped", "cantilever", "clamped-pinned"],
)
def test_beam_frequencies(frame, roots, error):
    heavy = Frame(
        frame.xy, (Piece((0, 1), 1e3 * EA, EI, mass=0.003, start=frame.pieces[0].start, end=frame.pieces[0].end),), frame.supports
    )
    wanted = np.array(roots) / L**2 * sqrt(EI * 1000.0 / 0.003) / (2.0 * pi)
    usual = natural_modes(heavy, count=len(roots)).frequencies
    assert usual == pytest.approx(wanted, rel=error)
    assert (usual > wanted * (1.0 - 1e-4)).all()  # consistent mass never understates
    assert natural_modes(heavy, count=len(roots), divisions=12).frequencies == pytest.approx(wanted, rel=4e-4)


def test_mass_on_a_spring():
    frame = strut(inf, 0.0, CANTILEVER.supports)
    stiffness = 3.0 * EI / L**3
    assert natural_modes(frame, count=1, masses=[(1, 50.0)]).frequencies == pytest.approx([sqrt(stiffness * 1000.0 / 50.0) / (2.0 * pi)])


@pytest.mark.parametrize("share", [0.05, 0.1, 0.2])
def test_p_delta_cantilever(share):
    """M = H tan(kL)/k, u = H (tan kL - kL)/(kP): Timoshenko & Gere, Theory of Elastic Stability (from memory)."""
    p, h = share * EULER, 100.0
    k = sqrt(p / EI)
    answer = second_order(CANTILEVER, [[NodeLoad(1, fx=h, fy=-p)]], [[1.0]])
    assert np.abs(answer.m).max() == pytest.approx(h * tan(k * L) / k, rel=1e-4)
    assert answer.displacements[0, 1, 0] == pytest.approx(h * (tan(k * L) - k * L) / (k * p), rel=2e-4)
    assert answer.reactions[0, 0] == pytest.approx([-h, p, h * tan(k * L) / k], rel=1e-4)


def test_loaded_strut_of_second_order():
    """M = q (sec(kL/2) - 1)/k²: Timoshenko & Gere (from memory)."""
    p = 0.5 * EULER
    k = sqrt(p / EI)
    answer = second_order(BOTH_PINNED, [[NodeLoad(1, fy=-p), LineLoad(0, 0.0, L, qx=(1.0, 1.0))]], [[1.0]])
    assert np.abs(answer.m).max() == pytest.approx((1.0 / cos(k * L / 2.0) - 1.0) / k**2, rel=5e-4)


def test_bowed_strut():
    """M = P e / (1 - P/P_E): the sine bow (Young, from memory)."""
    p = 0.6 * EULER
    answer = second_order(BOTH_PINNED, [[NodeLoad(1, fy=-p)]], [[1.0]], Imperfection(bow=np.array([1.0 / 400.0])), divisions=8)
    assert np.abs(answer.m).max() == pytest.approx(p * L / 400.0 / (1.0 - 0.6), rel=1e-3)


def test_tied_strut_is_relieved():
    """Tension straightens: M = T e / (1 + T/P_E)."""
    answer = second_order(BOTH_PINNED, [[NodeLoad(1, fy=EULER)]], [[1.0]], Imperfection(bow=np.array([1.0 / 400.0])), divisions=8)
    assert np.abs(answer.m).max() == pytest.approx(EULER * L / 400.0 / 2.0, rel=1e-3)


def test_leaning_post():
    """A post out of plumb by φ acts as one pushed by φP."""
    p = 0.1 * EULER
    k = sqrt(p / EI)
    answer = second_order(CANTILEVER, [[NodeLoad(1, fy=-p)]], [[1.0]], Imperfection(sway=0.005))
    assert np.abs(answer.m).max() == pytest.approx(0.005 * p * tan(k * L) / k, rel=1e-4)


def test_leaning_post_on_a_rigid_stub():
    """The stub leans with the post: M = φP (a + tan(kL)/k) at its foot, wherever the foot is joined to the node."""
    p, stub = 0.1 * EULER, 0.2 * L
    k = sqrt(p / EI)
    wanted = 0.005 * p * (stub + tan(k * L) / k)
    xy = np.array([(0.0, 0.0), (0.0, L + stub)])
    cases = [[NodeLoad(1, fy=-p)]]
    foot = Support(0, **HELD, rotation=True)
    armed = Frame(xy, (Piece((0, 1), EA, EI, start=inf, start_offset=(0.0, stub)),), (foot,))
    answer = second_order(armed, cases, [[1.0]], Imperfection(sway=0.005))
    assert abs(answer.reactions[0, 0, 2]) == pytest.approx(wanted, rel=1e-4)
    stood = Frame(
        np.array([(0.0, 0.0), (0.0, L)]), (Piece((0, 1), EA, EI, start=inf),), (Support(0, **HELD, rotation=True, offset=(0.0, -stub)),)
    )
    both = [[NodeLoad(1, fy=-p), NodeLoad(0, fy=-p)]]
    answer = second_order(stood, both, [[1.0]], Imperfection(sway=0.005))
    assert abs(answer.reactions[0, 0, 2]) == pytest.approx(wanted + 0.005 * p * stub, rel=1e-4)


def test_beyond_the_critical_load_there_is_no_equilibrium():
    with pytest.raises(Unstable) as caught:
        second_order(BOTH_PINNED, [[NodeLoad(1, fy=-1.01 * EULER)]], [[0.5], [1.0]])
    assert caught.value.combination == 1
