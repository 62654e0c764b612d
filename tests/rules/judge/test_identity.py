"""Ids, order and receipts: the same judgement keeps its name, and the same design gives the same report."""

from __future__ import annotations

import copy
import hashlib
import json
import re

import pytest

from rules.judge import Options

KINDS = ["fail", "open", "review", "informational", "notApplicable", "pass"]
LEVELS = ["error", "warning", "note", "none"]
DOWN = {"along": "plan", "direction": "down"}


@pytest.fixture
def roof(couple):
    actions = [
        {"id": "dead", "nature": "permanent", "loads": [{"member": name, "line_kn_per_m": 0.5, **DOWN} for name in ("R1", "R2")]},
        {"id": "snow", "nature": "snow", "loads": [{"member": name, "line_kn_per_m": 0.6, **DOWN} for name in ("R1", "R2")]},
        {"id": "drift", "nature": "snow", "loads": [{"member": "R1", "line_kn_per_m": 0.3, **DOWN}]},
    ]
    return couple(6000, 2500, actions=actions, self_weight=True)


def judged(report) -> dict:
    """Kind and utilisation of every finding by id; -1 where a finding has no utilisation."""
    return {f["id"]: (f["kind"], -1.0 if f["utilisation"] is None else f["utilisation"]) for f in report["findings"]}


def near(numbers: dict) -> dict:
    return {name: (kind, pytest.approx(ratio, rel=1e-9)) for name, (kind, ratio) in numbers.items()}


def test_an_id_is_the_digest_of_what_never_changes(roof, checked, found):
    finding = found(checked(roof), "eurocode-timber/bending", "R1")
    said = json.dumps(["eurocode-timber", "bending", "CASE", "member", "R1", ""], separators=(",", ":"))
    assert finding["id"] == hashlib.sha256(said.encode()).hexdigest()[:16]
    assert re.fullmatch("[0-9a-f]{16}", finding["id"])


def test_one_judgement_a_rule_element_and_part(roof, checked):
    ids = [finding["id"] for finding in checked(roof)["findings"]]
    assert len(ids) == len(set(ids))


def test_findings_stand_in_one_order(roof, checked):
    keys = [(KINDS.index(f["kind"]), LEVELS.index(f["level"]), *f["rule"].split("/")) for f in checked(roof)["findings"]]
    assert keys == sorted(keys)


def test_order_of_the_document_changes_no_number(roof, checked):
    turned = copy.deepcopy(roof)
    for part in ("nodes", "members", "supports", "actions"):
        turned[part].reverse()
    assert judged(checked(turned)) == near(judged(checked(roof)))


def test_direction_of_a_piece_changes_no_judgement(roof, checked):
    """A rafter drawn from the apex down is the same rafter; an unloaded length runs from the other end."""
    turned = copy.deepcopy(roof)
    turned["members"][0]["nodes"].reverse()
    assert judged(checked(turned)) == near(judged(checked(roof)))


def test_a_mirrored_roof_is_judged_the_same(roof, checked):
    mirrored = copy.deepcopy(roof)
    for node in mirrored["nodes"]:
        node["x_mm"] = 6000 - node["x_mm"]
    assert judged(checked(mirrored)) == near(judged(checked(roof)))


def test_the_same_twice(roof, checked):
    assert json.dumps(checked(roof)) == json.dumps(checked(roof))


def test_the_receipt_tells_design_subject_and_options_apart(roof, checked):
    plain, renamed = checked(roof)["receipt"], checked(roof | {"title": "another name"})["receipt"]
    assert plain["design"] != renamed["design"]
    assert plain["subject"] == renamed["subject"]
    assert plain["packs"] == renamed["packs"]
    assert checked(roof, options=Options(working="none"))["receipt"]["options"]["working"] == "none"


def test_by_default_what_went_wrong_and_each_governing_pass(roof, checked):
    everything, shown = checked(roof), checked(roof, options=Options())
    wrong = {f["id"] for f in everything["findings"] if f["kind"] not in ("pass", "notApplicable")}
    passes = [f for f in shown["findings"] if f["kind"] == "pass"]
    assert {f["id"] for f in shown["findings"]} - {f["id"] for f in passes} == wrong
    elements = [f["where"]["member"] or f["where"]["support"] for f in passes]
    assert len(elements) == len(set(elements))
    for each in passes:
        element = each["where"]
        rivals = [
            f["utilisation"]
            for f in everything["findings"]
            if f["kind"] == "pass" and f["where"]["pointer"] == element["pointer"] and f["utilisation"]
        ]
        assert each["utilisation"] == max(rivals)
    assert shown["summary"] == everything["summary"]
    assert shown["coverage"] == everything["coverage"]


def test_working_leads_to_the_number(roof, checked, found):
    bending = found(checked(roof), "eurocode-timber/bending", "R1")
    steps = {step["symbol"]: step for step in bending["working"]}
    assert steps["σ_m,y,d"]["value"] / steps["f_m,y,d"]["value"] == pytest.approx(bending["utilisation"], rel=1e-12)
    assert steps["f_m,y,d"]["expression"] == "k_mod·k_h·k_sys·f_m,k / γ_M"
    assert steps["k_mod"]["clause"] == "Table 3.1"


def test_coverage_counts_every_judgement(roof, checked):
    report = checked(roof)
    for row in report["coverage"]:
        mine = [f["kind"] for f in report["findings"] if f["rule"] == row["rule"]]
        assert {kind: row[kind] for kind in KINDS} == {kind: mine.count(kind) for kind in KINDS}
        assert sum(row["because"].values()) == row["notApplicable"]


def test_the_governing_finding_is_shown(roof, checked):
    """Also where several findings tie for the greatest utilisation."""
    report = checked(roof, options=Options())
    assert report["summary"]["governing"]["finding"] in {f["id"] for f in report["findings"]}


def test_no_expression_shows_how_it_is_programmed(roof, checked):
    shown = [step["expression"] for f in checked(roof)["findings"] for step in f["working"]]
    assert shown
    assert not [text for text in shown if "np." in text or "**" in text or "math." in text]
