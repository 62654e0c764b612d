"""A design written out: the same findings, the same bytes by both doors, and nothing lost of what was stated."""

import datetime
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from patience import PATIENT

from rules.library.loading import Library, load_library
from service.cli import main
from service.demo import design_names, read_design
from service.http import create_app
from service.openapi.examples import SMALL_SHAPE
from service.pipeline import check_document, expand_document
from service.schemas import to_design

DAY = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="module")
def client(library: Library) -> FlaskClient:
    return create_app(PATIENT, library, today=lambda: DAY).test_client()


def expanded(document: dict[str, Any], library: Library) -> dict[str, Any]:
    return dict(json.loads(expand_document(json.dumps(document).encode(), library, today=DAY)))


def report(document: dict[str, Any], library: Library) -> dict[str, Any]:
    return dict(json.loads(check_document(json.dumps(document).encode(), library, today=DAY)))


OVERRIDDEN = {
    **SMALL_SHAPE,
    "loading": {**SMALL_SHAPE["loading"], "tanks": [{"what": "tank", "litres": 100, "over": 2, "at_x_mm": [1500, 2100]}]},
    "actions": [
        {"id": "snow-even", "nature": "snow", "one_of": "snow", "loads": [
            {"member": "TC1", "line_kn_per_m": 1 / 3, "along": "plan", "direction": "down"}]},
        {"id": "no-wind", "nature": "wind", "declines": "wind-both-ways", "none_because": "the roof stands inside a hall"}],
}  # fmt: skip
DOUBTFUL = {**SMALL_SHAPE, "site": {"country": "GB", "altitude_m": 80, "snow_ground_kn_per_m2": 0.6}}


@pytest.mark.parametrize("document", [SMALL_SHAPE, OVERRIDDEN, DOUBTFUL], ids=["small", "overridden", "doubtful"])
def test_the_check_of_an_expansion_is_the_check_of_the_original(document: dict[str, Any], library: Library) -> None:
    written = expanded(document, library)
    original, again = report(document, library), report(written, library)
    for part in ("findings", "verdict", "summary", "response", "coverage", "not_checked"):
        assert original[part] == again[part], part
    assert all(load["replaced"] for load in again["load_cases"])


def test_it_holds_a_frame_and_load_cases_and_all_that_was_stated(library: Library) -> None:
    written = expanded(OVERRIDDEN, library)
    assert "shape" not in written
    assert [node["id"] for node in written["nodes"]][:2] == ["A", "C"]
    ids = [action["id"] for action in written["actions"]]
    assert ids[:2] == ["snow-even", "no-wind"]
    assert {"roof-permanent", "ceiling-permanent", "maintenance-area", "tank"} <= set(ids)
    assert {name: written[name] for name in ("site", "roof", "spacing_mm")} == {
        name: OVERRIDDEN[name] for name in ("site", "roof", "spacing_mm")
    }
    assert written["actions"][0]["loads"][0]["line_kn_per_m"] == 1 / 3


@pytest.mark.parametrize("name", design_names())
def test_a_frame_that_is_written_out_already_stays_the_same_document(name: str, library: Library) -> None:
    document = json.loads(read_design(name))
    if "shape" not in document:
        written, given = to_design(expanded(document, library)), to_design(document)
        assert replace(written, digest="", subject_digest="") == replace(given, digest="", subject_digest="")


def test_an_expansion_of_an_expansion_changes_nothing(library: Library) -> None:
    once = expanded(SMALL_SHAPE, library)
    assert expanded(once, library) == once


def test_both_doors_give_the_same_bytes(client: FlaskClient, tmp_path: Path) -> None:
    document = {**SMALL_SHAPE, "codes": {"as_of": "2026-11-25"}}
    (tmp_path / "design.json").write_text(json.dumps(document), encoding="utf-8")
    answer = client.post("/v1/expansions", json=document)
    assert (answer.status_code, answer.content_type) == (200, "application/json")
    assert main(["expand", str(tmp_path / "design.json"), "--output", str(tmp_path / "out.json")]) == 0
    assert (tmp_path / "out.json").read_bytes() == answer.data + b"\n"
    assert json.loads(answer.data)["codes"] == {"as_of": "2026-11-25"}


def test_what_cannot_be_expanded_is_refused_with_its_faults(
    client: FlaskClient, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shape = {name: value for name, value in SMALL_SHAPE["shape"].items() if name != "pitch_deg"}
    answer = client.post("/v1/expansions", json={**SMALL_SHAPE, "shape": shape})
    assert answer.status_code == 422
    assert [error["pointer"] for error in answer.json["errors"]] == ["/shape/pitch_deg"]
    (tmp_path / "design.json").write_text(json.dumps({**SMALL_SHAPE, "shape": shape}), encoding="utf-8")
    assert main(["expand", str(tmp_path / "design.json")]) == 2
    assert "/shape/pitch_deg" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("loading", "pointer", "code"),
    [
        ({"layers": [{"what": "t", "on": "roof", "kn_per_m2": 1, "measured": "slope", "from": "Z"}]}, "/loading/layers/0/from", "dangling-id"),
        ({"layers": [{"what": "t", "on": "roof", "kn_per_m2": 1, "measured": "slope", "min_kn_per_m2": 2}]}, "/loading/layers/0/min_kn_per_m2", "contradiction"),
        ({"layers": [{"what": "t", "on": "roof", "kn_per_m2": 1, "measured": "slope", "min_kn_per_m2": 1, "category": "E"}]}, "/loading/layers/0/min_kn_per_m2", "contradiction"),
        ({"layers": [{"what": "t", "on": "roof", "kn_per_m2": 1}]}, "/loading/layers/0/measured", "required"),
        ({"floor_use": {"category": "A", "to": "Z"}}, "/loading/floor_use/to", "dangling-id"),
        ({"tanks": [{"what": "t", "over": 1, "at_x_mm": [1]}]}, "/loading/tanks/0", "unclear-form"),
        ({"tanks": [{"what": "t", "over": 1, "at_x_mm": [1], "litres": 1, "kn": 1}]}, "/loading/tanks/0", "unclear-form"),
        ({"loft": "dance"}, "/loading/loft", "not-one-of"),
    ],
)  # fmt: skip
def test_faults_of_the_loading(client: FlaskClient, loading: dict[str, Any], pointer: str, code: str) -> None:
    answer = client.post("/v1/expansions", json={**SMALL_SHAPE, "loading": loading})
    assert answer.status_code == 422
    assert [(error["pointer"], error["code"]) for error in answer.json["errors"]] == [(pointer, code)]
