"""What a timber engineer insists on, line by line: each has its tests, and those that had none of their own stand here."""

from __future__ import annotations

import ast
import json
import math
from pathlib import Path

import pytest
import yaml

from rules.judge.mechanics import KN
from rules.subject.faults import DesignRefused
from service.schemas import load

TESTS = Path(__file__).parents[2]
LINES = yaml.safe_load(Path(__file__).with_name("engineers_lines.yaml").read_text(encoding="utf-8"))
PACK = "eurocode-timber/"


@pytest.mark.parametrize("line", [line for part in LINES.values() for line in part], ids=lambda line: line["line"][:60])
def test_every_line_has_tests_that_exist(line):
    assert line["tests"], line["line"]
    for file, names in line["tests"].items():
        tree = ast.parse((TESTS / file).read_text(encoding="utf-8"))
        assert set(names) <= {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}, file


def test_no_line_stands_twice_and_every_part_is_there():
    said = [line["line"] for part in LINES.values() for line in part]
    assert len(said) == len(set(said))
    assert list(LINES) == ["loads", "frame", "outputs", "defaults"]


@pytest.fixture
def truss(king_post):
    return king_post()


def test_safe_choices_are_told(truss, checked):
    """Each with the place where it would be stated, and with who has to confirm it."""
    truss.pop("site", None)
    report = checked(truss | {"site": {"country": "GB", "subdivision": "GB-ENG", "altitude_m": 50}})
    told = {each["pointer"]: each for each in report["assumptions"]}
    assert told["/members"]["value"] == "pinned"
    assert told["/site/service_class"]["value"] == 2
    assert told["/load_sharing"]["value"] == 1.0
    assert told["/supports"]["value"] == 1.0, "k_c,90"
    assert told["/members/0/restraint_spacing/out_of_plane_mm"]["value"] == pytest.approx(1000.0 * math.sqrt(5.0), abs=1e-3)
    assert "camber" in told["/actions"]["because"]
    assert "shear" in told["/actions"]["because"]
    assert all(each["confirm"] in ("designer", "site", "engineer") for each in report["assumptions"])


def test_how_far_a_bearing_slides_is_told(truss, checked, found):
    """The tie of 4 m pulled by 2.5 kN stretches by N L/(E A) and takes its bearing with it."""
    finding = found(checked(truss), PACK + "roller-movement")
    assert finding["kind"] == "informational"
    assert finding["demand"]["value"] == pytest.approx(2.5 * KN * 4000.0 / (11000.0 * 47.0 * 97.0), rel=1e-2)


def test_wind_pushes_sideways_and_the_report_says_so(truss, checked):
    push = {"id": "w", "nature": "wind", "one_of": "wind", "loads": [{"node": "C", "x_kn": 1.5}]}
    report = checked(truss | {"actions": [*truss["actions"], push]})
    (held,) = (each for each in report["response"]["reactions"] if (each["action"], each["support"]) == ("w", "SA"))
    assert held["x_kn"] == pytest.approx(-1.5, rel=1e-9)
    assert "1.50 kN pushing the bearing to the right" in held["words"]
    assert any("wind bracing" in each for each in report["not_checked"])


def test_not_every_bearing_may_let_go(truss, checked):
    free = truss | {"supports": [each | {"uplift": "free"} for each in truss["supports"]]}
    with pytest.raises(DesignRefused) as refused:
        checked(free)
    assert {fault.code for fault in refused.value.faults} == {"nothing-holds-down"}


def test_a_factor_of_buckling_is_told_and_judged_by_nothing(truss, checked, analysed):
    factors = [each["factor"] for each in analysed(truss)["buckling"]]
    assert factors
    assert all(factor > 0.0 for factor in factors)
    assert not [each for each in checked(truss)["findings"] if "buckling-factor" in each["rule"]]


def test_the_size_factor_of_a_flat_piece(bar, checked, found):
    """97 wide and 35 deep: in bending (150/35)^0.2 is more than 1.3 may be, in tension by the 97 mm (150/97)^0.2 = 1.0911 (EN 1995-1-1 (3.1))."""
    down = {"member": "M", "line_kn_per_m": 0.1, "along": "member", "direction": "down"}
    pull = {"node": "B", "x_kn": 3.0}
    report = checked(bar(1500.0, {"b_mm": 97, "h_mm": 35}, actions=[{"id": "g", "nature": "permanent", "loads": [down, pull]}]))
    assert step(found(report, PACK + "tension", "M"), "k_h,t") == pytest.approx((150.0 / 97.0) ** 0.2, rel=1e-8)
    assert step(found(report, PACK + "bending", "M"), "k_h") == pytest.approx(1.3, rel=1e-12)


def step(finding, symbol):
    return next(each["value"] for each in finding["working"] if each["symbol"] == symbol)


def test_what_is_not_checked_is_listed(truss, checked):
    listed = checked(truss)["not_checked"]
    assert any("fire" in each for each in listed)
    assert any("erection" in each for each in listed)


@pytest.mark.parametrize(("layer", "missing"), [({"what": "tiles", "kn_per_m2": 0.6, "duration": "permanent"}, "measured")])
def test_what_has_no_default_is_refused_where_it_is_missing(document, layer, missing):
    shape = {"form": "couple", "span_over_plates_mm": 6000, "pitch_deg": 35, "section": {"b_mm": 47, "h_mm": 147}, "grade": "C24"}
    design = {name: value for name, value in document.items() if name not in ("nodes", "members", "supports", "actions")}
    with pytest.raises(DesignRefused) as refused:
        load(json.dumps(design | {"shape": shape, "spacing_mm": 600, "loading": {"layers": [layer]}}).encode())
    assert any(fault.pointer.endswith(missing) and fault.code == "required" for fault in refused.value.faults)
