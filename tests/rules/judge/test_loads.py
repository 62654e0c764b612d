"""How stated loads become forces: direction, face, and per metre of what. Expected numbers: own arithmetic."""

from __future__ import annotations

import math

import pytest

from rules.judge.geometry import Line
from rules.judge.mechanics import direction


def line(degrees: float) -> Line:
    angle = math.radians(degrees)
    return Line((0.0, 0.0), 1000.0, (1000.0,), (True,), math.cos(angle), math.sin(angle))


HALF, ROOT = 0.5, math.sqrt(3) / 2

DIRECTIONS = [
    ("down", None, 30, (0, -1)),
    ("up", None, 30, (0, 1)),
    ("left", None, 30, (-1, 0)),
    ("right", None, 30, (1, 0)),
    ("pressure", "upper", 30, (HALF, -ROOT)),
    ("suction", "upper", 30, (-HALF, ROOT)),
    ("pressure", "lower", 30, (-HALF, ROOT)),
    ("suction", "lower", 30, (HALF, -ROOT)),
    ("pressure", "upper", 150, (-HALF, -ROOT)),
    ("pressure", "upper", 210, (HALF, -ROOT)),
    ("suction", "upper", 0, (0, 1)),
    ("pressure", "left", 90, (1, 0)),
    ("suction", "left", 90, (-1, 0)),
    ("pressure", "right", 270, (-1, 0)),
]


@pytest.mark.parametrize(("word", "face", "degrees", "expected"), DIRECTIONS)
def test_where_a_word_points(word, face, degrees, expected):
    """Pressure pushes the piece away from its loaded face, suction pulls it towards it, whichever way the piece is drawn."""
    assert direction(word, face, line(degrees)) == pytest.approx(expected, abs=1e-12)


def rafter(document, load, *, backwards=False):
    """One rafter of 5 m at a slope of 3 in 4, standing on both its ends; the load is on all of it."""
    nodes = ["B", "A"] if backwards else ["A", "B"]
    return document | {
        "nodes": [{"id": "A", "x_mm": 0, "y_mm": 0}, {"id": "B", "x_mm": 4000, "y_mm": 3000}],
        "members": [{"id": "R", "role": "rafter", "nodes": nodes, "section": {"b_mm": 47, "h_mm": 147}, "grade": "C24"}],
        "supports": [{"id": "SA", "node": "A", "holds": ["x", "y"]}, {"id": "SB", "node": "B", "holds": ["y"]}],
        "actions": [{"id": "load", "nature": "snow", "loads": [{"member": "R", **load}]}],
    }


def total(response) -> tuple[float, float]:
    return sum(row["x_kn"] for row in response["reactions"]), sum(row["y_kn"] for row in response["reactions"])


MEASURES = [
    ("a metre of slope", {"line_kn_per_m": 1, "along": "member", "direction": "down"}, (0, 5)),
    ("a metre of plan", {"line_kn_per_m": 1, "along": "plan", "direction": "down"}, (0, 4)),
    ("a metre of height", {"line_kn_per_m": 1, "along": "height", "direction": "right"}, (-3, 0)),
    ("square to the slope", {"line_kn_per_m": 1, "along": "member", "direction": "pressure", "face": "upper"}, (-3, 4)),
    ("growing along it", {"line_kn_per_m": 0, "line_end_kn_per_m": 2, "along": "plan", "direction": "down"}, (0, 4)),
    ("on a part of it", {"line_kn_per_m": 1, "along": "member", "direction": "down", "from_mm": 1000, "to_mm": 3000}, (0, 2)),
    ("at a point", {"point_kn": 0.9, "at_mm": 2500, "direction": "down"}, (0, 0.9)),
]


@pytest.mark.parametrize("backwards", [False, True], ids=["", "drawn from the top"])
@pytest.mark.parametrize(("load", "reacts"), [case[1:] for case in MEASURES], ids=[case[0] for case in MEASURES])
def test_how_much_a_load_is(document, analysed, load, reacts, backwards):
    """Reactions oppose the whole of the load: on a slope of 3 in 4 a kN per metre of plan is 0.8 per metre of slope."""
    assert total(analysed(rafter(document, load, backwards=backwards))["response"]) == pytest.approx(reacts, abs=1e-9)


def test_a_layer_on_a_slope_weighs_more_in_plan(document, analysed):
    """0.785 kN/m² along a slope of 35° is 0.958 in plan (0.785 / cos 35°)."""
    pitched = rafter(document, {"line_kn_per_m": 0.785, "along": "member", "direction": "down"})
    pitched["nodes"][1] = {"id": "B", "x_mm": 4000, "y_mm": 4000 * math.tan(math.radians(35))}
    assert total(analysed(pitched)["response"])[1] / 4.0 == pytest.approx(0.958, abs=5e-4)


def test_own_weight_is_mean_density_times_g(document, analysed):
    """5 m of 47 × 147 C24 at 420 kg/m³ and 9.81 m/s²: 0.1423 kN."""
    heavy = rafter(document, {"line_kn_per_m": 0, "along": "member", "direction": "down"}) | {"self_weight": True}
    weight = sum(row["y_kn"] for row in analysed(heavy)["response"]["reactions"] if row["action"] == "self-weight")
    assert weight == pytest.approx(0.047 * 0.147 * 5 * 420 * 9.81 / 1000, rel=1e-9)


def test_a_support_that_settles_is_a_case_of_its_own(bar, analysed):
    """The far end of a simple beam goes down 10 mm: nothing is strained, and the middle goes down 5."""
    frame = bar(3000, {"b_mm": 47, "h_mm": 195}, actions=[{"id": "g", "nature": "permanent", "loads": [{"node": "B", "x_kn": 1}]}])
    frame["supports"][1]["settlement_mm"] = [0, -10]
    response = analysed(frame)["response"]
    moved = {(row["action"], row["node"]): row["y_mm"] for row in response["displacements"]}
    assert moved["settlement", "B"] == pytest.approx(-10)
    assert all(abs(row["y_kn"]) < 1e-9 for row in response["reactions"] if row["action"] == "settlement")
