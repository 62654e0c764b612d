"""The hand case of a plated splice over HTTP: the request as a caller writes it, every number as it is printed."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from patience import PATIENT

from service.demo import read_design
from service.http import create_app

DESIGN = {
    "format": "birdsmouth-design-1",
    "reference": "SPLICE-24",
    "component_type": "other",
    "site": {"country": "GB", "altitude_m": 50, "service_class": 2},
    "materials": {"marking": "piece"},
    "self_weight": False,
    "nodes": [{"id": "A", "x_mm": 0, "y_mm": 0}, {"id": "B", "x_mm": 3000, "y_mm": 0}],
    "members": [{"id": "T", "role": "ceiling-tie", "nodes": ["A", "B"], "section": {"b_mm": 47, "h_mm": 97}, "grade": "C24"}],
    "supports": [{"id": "S1", "node": "A", "holds": ["x", "y"]}, {"id": "S2", "node": "B", "holds": ["y"]}],
    "actions": [
        {"id": "pull", "nature": "imposed", "category": "A", "duration": "medium", "loads": [
            {"node": "B", "x_kn": 16, "y_kn": 0},
            {"member": "T", "moment_knm": -0.192, "at_mm": 100}, {"member": "T", "moment_knm": 0.192, "at_mm": 2900}]}],
    "plate_types": [
        {"id": "P", "thickness_mm": 1.0, "declared_per": "plate", "f_a_0_0_k_mpa": 2.0, "f_a_90_90_k_mpa": 1.5, "k_1": -0.005, "k_2": -0.01,
         "alpha_0_deg": 45}],
    "splices": [{"id": "SP", "member": "T", "at_mm": 1500, "plate_type": "P", "length_mm": 240, "width_mm": 97, "placing_tolerance_mm": 0}],
}  # fmt: skip
PRINTED = {
    "F_A,Ed": (12_000, 0.5),
    "A_ef": (9918, 0.5),
    "τ_F,d": (1.210, 5e-4),
    "M_A,Ed": (0.144e6, 0.5),
    "W_p": (355_573, 0.5),
    "τ_M,d": (0.405, 5e-4),
}
"""24 kN splice, 97 deep, plate 240 × 97, t 1.0, 12 mm of eccentricity, f_a 2.0, k_mod 0.8, γ_M 1.3: own hand calculation, N and mm."""


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app(PATIENT).test_client()


@pytest.fixture(scope="module")
def findings(client):
    answer = client.post("/v1/checks?include=all&working=all", json=DESIGN)
    assert answer.status_code == 200
    return {(each["rule"], each["part"]): each for each in answer.get_json()["findings"] if each["where"]["joint"] == "SP"}


@pytest.mark.parametrize(("symbol", "printed"), PRINTED.items(), ids=PRINTED)
def test_every_number_of_the_hand_case(findings, symbol, printed):
    shown = {step["symbol"]: step["value"] for step in findings["eurocode-timber/plate-anchorage", ""]["working"]}
    assert shown[symbol] == pytest.approx(printed[0], abs=printed[1])


def test_the_hand_case_fails_and_says_where(findings):
    found = findings["eurocode-timber/plate-anchorage", ""]
    assert (found["kind"], found["level"]) == ("fail", "error")
    assert found["utilisation"] == pytest.approx(1.075, abs=5e-4)
    assert found["where"]["pointer"] == "/splices/0"
    assert "107 %" in found["message"]


def test_steel_that_is_not_declared_is_asked_for(findings):
    found = findings["eurocode-timber/plate-steel", ""]
    assert found["kind"] == "open"
    assert all(symbol in found["message"] for symbol in ("f_t,0,k", "f_c,90,k", "γ_0", "k_v"))


def test_a_table_of_joints_is_with_the_quantities(client):
    (row,) = client.post("/v1/checks", json=DESIGN).get_json()["quantities"]["joints"]
    assert (row["joint"], row["node"], row["plates"], row["plate_type"]) == ("SP", None, 2, "P")
    assert [piece["force_kn"] for piece in row["pieces"]] == pytest.approx([24.0, 24.0])
    assert {piece["rule"] for piece in row["pieces"]} == {"eurocode-timber/stiff-splice"}  # 1.5 times as much is asked of it


def test_the_plates_of_the_readme_fit_the_first_demo_truss(client):
    """Its second block of JSON, put into the design of the demo: joints and splice are judged, and open because the values are made up."""
    readme = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    (block,) = (text for text in re.findall(r"^```json\n(.*?)^```$", readme, re.MULTILINE | re.DOTALL) if "plate_types" in text)
    answer = client.post("/v1/checks", json=json.loads(read_design("fink")) | json.loads(block)).get_json()
    assert {row["joint"] for row in answer["quantities"]["joints"]} == {"heel", "tie"}
    shares = {each["rule"]: each["utilisation"] for each in answer["findings"] if each["where"]["joint"] == "tie" and each["utilisation"]}
    assert 0.0 < shares["eurocode-timber/plate-anchorage"] < 1.0


@pytest.mark.parametrize("media", ["text/html", "text/markdown", "text/plain", "application/sarif+json", "application/xml"])
def test_every_format_names_the_joint(client, media):
    answer = client.post("/v1/checks", json=DESIGN, headers={"Accept": media})
    assert answer.status_code == 200
    assert "SP" in answer.get_data(as_text=True)
