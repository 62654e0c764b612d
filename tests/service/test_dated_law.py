"""Dated law over HTTP: pins, days, withdrawn editions, and the same receipt for the same bytes."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from flask.testing import FlaskClient
from patience import PATIENT

from rules.library.loading import load_library
from service.http import create_app
from service.openapi.examples import SMALL_ROOF

PIN = "eurocode-timber==2004+A2:2014"


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app(PATIENT, load_library()).test_client()


def asking(**codes: Any) -> dict[str, Any]:
    return deepcopy(SMALL_ROOF) | {"codes": codes}


def test_an_edition_out_of_force_is_refused_unless_it_is_pinned(client: FlaskClient) -> None:
    answer = client.post("/v1/checks", json=asking(packs=["eurocode-timber"], as_of="2030-01-01"))
    (fault,) = answer.get_json()["errors"]
    assert (answer.status_code, fault["pointer"], fault["code"]) == (422, "/codes/packs/0", "pack-not-in-force")
    assert PIN in fault["hint"]


def test_a_withdrawn_edition_that_is_pinned_is_said_so_in_the_report(client: FlaskClient) -> None:
    report = client.post("/v1/checks?include=all", json=asking(packs=[PIN], as_of="2030-01-01")).get_json()
    said = [finding for finding in report["findings"] if f"{PIN}@1.1.0 is not in force on 2030-01-01" in finding["message"]]
    assert said
    assert {finding["kind"] for finding in said} <= {"open", "review"}
    assert report["verdict"] != "pass"
    assert next(pack["selected_because"] for pack in report["packs"] if pack["id"] == "eurocode-timber") == f"asked for as {PIN}"


@pytest.mark.parametrize("pin", ["eurocode-timber==2023", f"{PIN}@0.9.0"])
def test_a_pin_not_held_is_refused_naming_what_is(client: FlaskClient, pin: str) -> None:
    answer = client.post("/v1/checks", json=asking(packs=[pin]))
    (fault,) = answer.get_json()["errors"]
    assert (answer.status_code, fault["code"], fault["found"], fault["allowed"]) == (422, "pack-not-held", pin, [f"{PIN}@1.1.0"])


def test_the_same_receipt_run_again_gives_the_same_bytes(client: FlaskClient) -> None:
    first = client.post("/v1/checks?include=all&working=all", json=SMALL_ROOF)
    receipt = first.get_json()["receipt"]
    pins = [f"{pack['id']}=={pack['edition']}@{pack['release']}" for pack in first.get_json()["packs"]]
    again = create_app(PATIENT, load_library()).test_client()
    second = again.post("/v1/checks?include=all&working=all", json=SMALL_ROOF | {"codes": {"as_of": receipt["as_of"]}})
    assert second.get_json()["receipt"]["packs"] == receipt["packs"]
    pinned = [again.post("/v1/checks?include=all&working=all", json=asking(packs=pins, as_of=receipt["as_of"])).data for _ in range(2)]
    assert pinned[0] == pinned[1]
    findings = [answer["findings"] for answer in (first.get_json(), second.get_json())]
    assert findings[0] == findings[1]
