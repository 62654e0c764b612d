"""Published examples of codes other than the Eurocodes, each with its source beside it, sent through the HTTP service as any caller would."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rules.library import load_library
from rules.packs.australia_timber.quantities.capacities import rho_b, rho_c

HERE = Path(__file__).parent
PACKS = {
    "american": {"asce-loads", "nds-timber", "grades-nds"},
    "australian": {"australia-timber", "grades-au"},
}
EXAMPLES = [
    {**example, "packs": packs}
    for tradition, packs in PACKS.items()
    for example in json.loads((HERE / f"{tradition}_examples.json").read_text("utf-8"))
]
EXPECTED = [(example, wanted) for example in EXAMPLES for wanted in example["expect"]]
CONSTANTS = json.loads((HERE / "material_constants.json").read_text("utf-8"))


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
    assert example["packs"] <= {pack["id"] for pack in report["packs"]}
    assert not [pack["id"] for pack in report["packs"] if pack["id"].startswith("eurocode")]
    assert not [finding for finding in report["findings"] if finding["rule"] == "engine/national-choices"]
    assert any("moisture" in taken["because"] for taken in report["assumptions"])


@pytest.mark.parametrize("grade", sorted(CONSTANTS["rho_b"]))
def test_the_constants_that_the_australian_standard_tabulates_come_out_of_its_formulas(grade):
    pack = load_library().pack("australia-timber")
    value = {each.name: each.number for each in pack.values}
    (held,) = (each.properties for each in load_library().pack("grades-au").materials if each.id == grade)
    stiff, share = held["e_0_mean_mpa"], value["passing_share"]
    bent = rho_b(value["rho_b_factor"], stiff, held["f_b_mpa"], value["rho_b_power"], share, value["rho_b_share"])
    pressed = rho_c(value["rho_c_factor"], stiff, held["f_c_mpa"], value["rho_c_power"], share, value["rho_c_share"])
    assert bent == pytest.approx(CONSTANTS["rho_b"][grade], abs=0.005)
    assert pressed == pytest.approx(CONSTANTS["rho_c"][grade], abs=0.005)
