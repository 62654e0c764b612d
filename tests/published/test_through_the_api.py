"""Published examples, each with its source beside it, sent through the HTTP service as any caller would."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

HERE = Path(__file__).parent
EXAMPLES = json.loads((HERE / "worked_examples.json").read_text("utf-8"))
TRUSSES = json.loads((HERE / "trusses.json").read_text("utf-8"))
EXPECTED = [(example, wanted) for example in EXAMPLES for wanted in example["expect"]]


@pytest.fixture(scope="module")
def reports(checked):
    return checked(EXAMPLES)


@pytest.mark.parametrize(
    ("example", "wanted"), EXPECTED, ids=[f"{example['name']}: {wanted.get('symbol', wanted.get('kind'))}" for example, wanted in EXPECTED]
)
def test_a_printed_number_comes_out(reports, example, wanted):
    (finding,) = (
        finding
        for finding in reports[example["name"]]["findings"]
        if finding["rule"] == wanted["rule"]
        and finding["part"] == wanted.get("part", "")
        and wanted["element"] in (finding["where"]["member"], finding["where"]["support"], finding["where"]["brace"])
    )
    if "kind" in wanted:
        assert finding["kind"] == wanted["kind"]
    else:
        (value,) = {step["value"] for step in finding["working"] if step["symbol"] == wanted["symbol"]}
        assert (abs(value) if wanted.get("absolute") else value) == pytest.approx(wanted["value"], abs=wanted["tolerance"])


@pytest.mark.parametrize("truss", TRUSSES, ids=[truss["name"] for truss in TRUSSES])
def test_a_truss_by_joints(client, truss):
    design = {
        "format": "birdsmouth-design-1",
        "reference": truss["name"],
        "component_type": "other",
        "site": {"country": "GB", "altitude_m": 0},
        "self_weight": False,
        "nodes": [{"id": name, "x_mm": x, "y_mm": y} for name, (x, y) in truss["nodes"].items()],
        "members": [
            {"id": name, "role": "member", "nodes": nodes, "section": {"b_mm": 100, "h_mm": 100}, "grade": "C24"}
            for name, nodes in truss["members"].items()
        ],
        "supports": [{"id": f"S{node}", "node": node, "holds": holds} for node, holds in truss["supports"].items()],
        "actions": [{"id": "load", "nature": "permanent", "loads": truss.get("loads") or [truss["load"]]}],
    }
    answer = client.post("/v1/analyses", json=design)
    assert answer.status_code == 200, answer.get_json()
    response = answer.get_json()["response"]
    forces = {row["member"]: row["stations"][0]["n_kn"] for row in response["members"]}
    assert forces == {name: pytest.approx(force, rel=1e-8) for name, force in truss["forces_kn"].items()}
    for row in response["reactions"]:
        x, y = truss["reactions_kn"][row["support"].removeprefix("S")]
        assert x is None or row["x_kn"] == pytest.approx(x, abs=1e-5)
        assert y is None or row["y_kn"] == pytest.approx(y, abs=1e-5)
