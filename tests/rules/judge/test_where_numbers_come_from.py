"""Of each number of a report it can be told whose it is, what it replaced and why; declared rules show what they read."""

from __future__ import annotations

import pytest

from rules.judge import Options

DOWN = {"along": "member", "direction": "down"}
BENDING, GAP = "eurocode-timber/bending", "workshop-practice/hanger-gap-specified"


@pytest.fixture
def joist(bar):
    """A joist in the United Kingdom, one end in a hanger with too wide a gap."""
    actions = [{"id": "g", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 0.4, **DOWN}]}]
    document = bar(3000, {"b_mm": 47, "h_mm": 195}, actions=actions)
    document["supports"][0]["seat"] = {"on": "hanger", "length_mm": 60, "gap_specified_mm": 9}
    return document


def step(finding, symbol):
    return next(each for each in finding["working"] if each["symbol"] == symbol)


def test_a_number_of_a_country_names_what_it_replaced(joist, checked, found):
    report = checked(joist)
    assert step(found(report, BENDING, "M"), "γ_M")["number"] == "gamma_m"
    told = report["numbers"]["gamma_m"]
    assert (told["pack"], told["layer"], told["because"], told["by"]) == ("uk-national", "national", None, ["kind", "marking"])
    assert told["edition"] == next(pack["edition"] for pack in report["packs"] if pack["id"] == "uk-national")
    assert [(each["pack"], each["layer"], each["source"]) for each in told["in_place_of"]] == [
        ("eurocode-timber", "code", "EN 1995-1-1 2004+A2:2014, Table 2.3")
    ]


def test_every_number_of_the_working_is_told(joist, checked):
    report = checked(joist)
    named = {each["number"] for finding in report["findings"] for each in finding["working"]} - {None}
    assert set(report["numbers"]) == named != set()
    assert all(told["source"] and told["seen"] in ("read", "memory", "practice") for told in report["numbers"].values())


def test_a_number_the_caller_replaced_is_told_with_its_reason_on_every_finding_it_touches(joist, checked):
    joist["codes"] = {"parameters": {"gamma_m": {"value": 1.2, "reason": "tested on site"}}}
    report = checked(joist)
    told = report["numbers"]["gamma_m"]
    assert (told["value"], told["layer"], told["because"]) == (1.2, "caller", "tested on site")
    assert [each["pack"] for each in told["in_place_of"]] == ["uk-national", "eurocode-timber"]
    touched = {finding["rule"] for finding in report["findings"] if finding["parameters"]}
    assert {BENDING, "eurocode-timber/shear", "eurocode-timber/lateral-torsion"} <= touched
    assert not touched & {"eurocode-timber/deflection", GAP}
    for finding in report["findings"]:
        assert all((each["name"], each["because"]) == ("gamma_m", "tested on site") for each in finding["parameters"])


def test_a_declared_rule_tells_what_it_rests_on(joist, checked, found):
    joist["codes"] = {"parameters": {"hanger_gap_max_mm": {"value": 8, "reason": "our hangers are deeper"}}}
    finding = found(checked(joist, Options()), GAP, "S1")
    assert finding["kind"] == "fail"
    assert step(finding, "support.seat_on")["value"] == "hanger"
    assert step(finding, "support.gap_specified_mm") == {
        "symbol": "support.gap_specified_mm", "expression": "gap at the hanger as specified", "value": 9.0, "unit": "mm", "clause": None, "number": None,
    }  # fmt: skip
    assert (step(finding, "gap")["value"], step(finding, "gap")["number"]) == (8.0, "hanger_gap_max_mm")
    assert [step(finding, side)["value"] for side in ("demand", "limit")] == [9.0, 8.0]
    assert [each["because"] for each in finding["parameters"]] == ["our hangers are deeper"]


def test_a_look_up_is_told_with_what_it_gave(joist, checked, found):
    joist["component_type"] = "solid-joist"
    finding = found(checked(joist), "uk-practice/strutting-of-solid-joists")
    (looked,) = (each for each in finding["working"] if each["number"] == "strutting_rows")
    assert (looked["value"], looked["unit"], looked["clause"]) == (1.0, "1", "6.4.15")
    assert looked["expression"].endswith('look_up_number("strutting_rows", design.span_mm)')
    assert step(finding, "required")["value"] == "no"


def test_the_grades_are_told(joist, checked):
    report = checked(joist)
    (grade,) = report["grades"]
    assert (grade["id"], grade["pack"], grade["invented"]) == ("C24", "grades-en", False)
    assert "EN 338" in grade["source"]
    bending = next(each for each in report["findings"] if each["rule"] == BENDING)
    assert step(bending, "f_m,k")["expression"] == "of the grade C24"


def test_coverage_by_clause_says_what_became_of_each(joist, checked):
    told = {(each["pack"], each["clause"]): each for each in checked(joist)["coverage_by_clause"]}
    assert told["eurocode-timber", "6.1.6"]["state"] == "judged"
    assert told["eurocode-timber", "6.2.3"] | {"what": ""} == {
        "pack": "eurocode-timber", "clause": "6.2.3", "what": "", "state": "notApplicable", "because": ["is never bent and pulled at once"],
        "rules": ["eurocode-timber/bending-with-tension"],
    }  # fmt: skip
    assert told["eurocode-timber", "5.4.4"]["state"] == "notApplicable", "another analysis was chosen"
    assert (told["eurocode-timber", "4.1"]["state"], told["eurocode-timber", "4.1"]["rules"]) == ("notApplicable", [])
    assert told["eurocode-timber", "9.2.3, 9.2.4"]["state"] == "notApplicable"
    assert "belongs to the building" in told["eurocode-timber", "9.2.3, 9.2.4"]["because"][0]
    assert told["eurocode-timber", "8.8"]["rules"] == ["eurocode-timber/plate-anchorage", "eurocode-timber/plate-steel"]
    assert told["workshop-practice", "gap at a hanger"]["state"] == "judged"


def test_a_clause_whose_rules_are_all_open_is_open(joist, checked):
    del joist["supports"][0]["seat"]["gap_specified_mm"]
    told = {(each["pack"], each["clause"]): each["state"] for each in checked(joist)["coverage_by_clause"]}
    assert told["workshop-practice", "gap at a hanger"] == "open"
