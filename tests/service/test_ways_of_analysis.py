"""Every way of analysis over HTTP, with everything a report can hold: whatever no forces are known for is open, and never a broken answer."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from patience import PATIENT

from service.demo import read_design
from service.http import create_app

FINK = json.loads(read_design("fink"))
EVERYTHING = "include=all&working=all&response=combinations"
ACCEPTS = ("application/json", "text/html", "text/plain", "application/sarif+json", "image/svg+xml")


@pytest.fixture(scope="module")
def client():
    return create_app(PATIENT).test_client()


def _asking(way: str, *, placed: bool, thin: bool = False) -> dict[str, Any]:
    design = copy.deepcopy(FINK)
    design.setdefault("codes", {}).setdefault("parameters", {})["analysis"] = {"value": way, "reason": "to be tried"}
    for load in (load for action in design["actions"] for load in action["loads"]):
        if placed and load.pop("anywhere", None):
            load["at_mm"] = 1500
    for member in design["members"]:
        if thin and member["id"].startswith("TC"):
            member["section"] = {"b_mm": 8, "h_mm": 12}
    return design


@pytest.mark.parametrize(
    ("way", "placed", "thin", "verdict", "forces"),
    [
        ("general", False, False, "pass", True),
        ("simplified", False, False, "pass", True),
        ("second-order", True, False, "pass", True),
        ("second-order", False, False, "open", False),
        ("second-order", True, True, "fail", False),
    ],
)
def test_a_whole_report_comes_of_every_way(client, way, placed, thin, verdict, forces):
    design = _asking(way, placed=placed, thin=thin)
    for accept in ACCEPTS:
        answer = client.post(f"/v1/checks?{EVERYTHING}", json=design, headers={"Accept": accept})
        assert answer.status_code == 200, (accept, answer.data[:300])
    report = client.post(f"/v1/checks?{EVERYTHING}", json=design).get_json()
    assert report["verdict"] == verdict
    assert bool(report["response"]["envelopes"]) is forces
    strength = [each for each in report["findings"] if each["rule"] == "eurocode-timber/bending-with-compression"]
    assert forces or ({each["kind"] for each in strength} <= {"open", "notApplicable"} and strength)
