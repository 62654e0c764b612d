"""Published examples of the NDS, each with its source beside it, sent through the HTTP service as any caller would."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

EXAMPLES = json.loads((Path(__file__).parent / "american_examples.json").read_text("utf-8"))
EXPECTED = [(example, wanted) for example in EXAMPLES for wanted in example["expect"]]


@pytest.fixture(scope="module")
def reports(checked):
    return checked(EXAMPLES)


@pytest.mark.parametrize(("example", "wanted"), EXPECTED, ids=[f"{each['name']}: {wanted['symbol']}" for each, wanted in EXPECTED])
def test_a_printed_number_comes_out(reports, example, wanted):
    steps = [
        step["value"]
        for finding in reports[example["name"]]["findings"]
        if finding["rule"] == wanted["rule"] and finding["part"] == wanted["part"]
        for step in finding["working"]
        if step["symbol"] == wanted["symbol"]
    ]
    assert steps
    assert steps[-1] == pytest.approx(wanted["value"], abs=wanted["tolerance"])


@pytest.mark.parametrize("example", EXAMPLES, ids=[each["name"] for each in EXAMPLES])
def test_it_is_judged_by_one_tradition_and_says_what_it_took(reports, example):
    report = reports[example["name"]]
    assert {"asce-loads", "nds-timber", "grades-nds"} <= {pack["id"] for pack in report["packs"]}
    assert not [pack["id"] for pack in report["packs"] if pack["id"].startswith("eurocode")]
    assert not [finding for finding in report["findings"] if finding["rule"] == "engine/national-choices"]
    assert any("moisture" in taken["because"] for taken in report["assumptions"])
