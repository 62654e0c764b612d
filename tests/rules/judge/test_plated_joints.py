"""Plated joints from whole documents: the hand case of a splice, laws of geometry and force, and everything that leaves a joint open."""

from __future__ import annotations

import copy
import math
from collections.abc import Callable
from typing import Any

import plating
import pytest
from plating import STEEL, TEETH, of, shown, used

Document = dict[str, Any]


def test_the_hand_case_of_a_splice(checked):
    """24 kN, 97 deep, plate 240 × 97, t 1.0, 12 mm of eccentricity: own hand calculation, k_mod 0.8, γ_M 1.3, f_a 2.0."""
    found = of(checked(plating.pulled_tie(knm=16.0 * 0.012)), TEETH, "SP")
    working = shown(found)
    assert found["kind"] == "fail"
    assert found["utilisation"] == pytest.approx(1.075, abs=0.0005)
    assert working["A_ef"] == pytest.approx(9918, abs=0.5)
    assert working["F_A,Ed"] == pytest.approx(12_000)
    assert working["τ_F,d"] == pytest.approx(1.210, abs=0.0005)
    assert working["M_A,Ed"] == pytest.approx(0.144e6)
    assert working["W_p"] == pytest.approx(355_573, abs=0.5)
    assert working["τ_M,d"] == pytest.approx(0.405, abs=0.0005)


def test_the_same_splice_without_eccentricity(checked):
    found = of(checked(plating.pulled_tie()), TEETH, "SP")
    assert (found["kind"], round(found["utilisation"], 3)) == ("pass", 0.966)


def test_the_polar_modulus_may_be_integrated(checked):
    """∫ r dA over 114 × 87 is 383 447 mm³; the short form is 7 % lower."""
    asked = {"parameters": {"plate_polar_exact": {"value": 1, "reason": "an engineer asked for (8.47)"}}}
    found = of(checked(plating.pulled_tie(knm=0.192) | {"codes": asked}), TEETH, "SP")
    assert shown(found)["W_p"] == pytest.approx(383_447, abs=0.5)
    assert found["utilisation"] == pytest.approx((1.20992 / 1.230769) ** 2 + (144_000 / 383_447 / 1.230769) ** 2, rel=1e-5)


def test_no_duration_counts_for_steel_and_other_countries_have_other_factors(checked):
    """F_x = 12 000 N over 300 N/mm × 97 mm: γ_M 1.15 and 1.25, whatever the duration; teeth take k_mod and 1.3 or 1.25."""
    steel, teeth = {}, {}
    for country in ("GB", "IE"):
        for duration in ("medium", "permanent"):
            document = plating.pulled_tie(12.0)
            document["site"]["country"] = country
            document["actions"][0]["duration"] = duration
            report = checked(document)
            steel[country, duration] = of(report, STEEL, "SP")["utilisation"]
            teeth[country, duration] = of(report, TEETH, "SP")["utilisation"]
    assert steel["GB", "medium"] == pytest.approx((9000 * 1.15 / (300 * 97)) ** 2)
    assert steel["IE", "medium"] == pytest.approx((9000 * 1.25 / (300 * 97)) ** 2)
    assert steel["GB", "permanent"] == pytest.approx(steel["GB", "medium"])
    assert teeth["GB", "permanent"] / teeth["GB", "medium"] == pytest.approx((0.8 / 0.6) ** 2)
    assert teeth["GB", "medium"] / teeth["IE", "medium"] == pytest.approx((1.3 / 1.25) ** 2)


def test_values_of_a_pair_count_half_for_one_plate(checked):
    pair = plating.TYPE | {"declared_per": "pair"}
    found = of(checked(plating.pulled_tie(8.0) | {"plate_types": [pair]}), TEETH, "SP")
    assert found["utilisation"] == pytest.approx(0.966418, rel=1e-5)


@pytest.mark.parametrize("turn", [15.0, 90.0, 200.0, 333.0])
def test_a_turned_splice_is_the_same_splice(checked, turn):
    plain, turned = (checked(plating.pulled_tie(12.0, 0.1, turn=angle, placing_tolerance_mm=4)) for angle in (0.0, turn))
    for rule in (TEETH, STEEL):
        assert used(turned, rule)["SP"] == pytest.approx(used(plain, rule)["SP"], rel=1e-9)


def test_plates_taken_where_they_sit_worst(checked):
    """Off by 6 mm across, 6 mm of the plate is beyond the timber's edge: A_ef = 114 × 86; along, (120 − 6 − 6) × 86."""
    found = of(checked(plating.pulled_tie(12.0, placing_tolerance_mm=6)), TEETH, "SP")
    assert shown(found)["A_ef"] == pytest.approx((120 - 6 - 6) * (97 - 5 - 6))
    assert "6 mm" in found["message"]
    assert found["utilisation"] > of(checked(plating.pulled_tie(12.0)), TEETH, "SP")["utilisation"]


def test_larger_plates_and_smaller_forces_use_less(checked):
    size = [used(checked(plating.pulled_tie(12.0, 0.05, length_mm=length)), TEETH)["SP"] for length in (160, 200, 240, 280)]
    force = [used(checked(plating.pulled_tie(kn, 0.01 * kn)), TEETH)["SP"] for kn in (4.0, 8.0, 16.0)]
    assert size == sorted(size, reverse=True)
    assert force[1:] == pytest.approx([4 * force[0], 16 * force[0]])


def test_a_mirrored_truss_has_mirrored_joints(checked):
    loads = [{"member": "R1", "line_kn_per_m": 2.0, "along": "plan", "direction": "down"}]
    plain, mirrored = (checked(plating.truss(mirrored=each, loads=loads, tolerance=4)) for each in (False, True))
    for rule in (TEETH, STEEL, "eurocode-timber/joint-splitting"):
        assert used(mirrored, rule) == pytest.approx(used(plain, rule), rel=1e-6)
        assert used(plain, rule)


def test_a_symmetrical_truss_has_symmetrical_joints(checked):
    report = checked(plating.truss(tolerance=5))
    for rule in (TEETH, STEEL):
        each = used(report, rule)
        assert (each["JA"], each["JB"]) == pytest.approx((each["JE"], each["JD"]), rel=1e-6)


def test_every_joint_is_judged_and_nothing_is_left_unanswered(checked):
    report = checked(plating.truss(tolerance=5))
    assert set(used(report, TEETH)) == {"JA", "JB", "JC", "JD", "JE", "JF"}
    said = [each for each in report["findings"] if each["rule"].startswith("engine/") and "joint" in each["rule"]]
    assert said == []
    assert {each["joint"] for each in report["quantities"]["joints"]} == {"JA", "JB", "JC", "JD", "JE", "JF"}


def test_a_node_without_plates_stays_open_and_one_left_to_others_is_told(checked):
    document = plating.truss()
    document["joints"] = [each for each in document["joints"] if each["node"] not in ("B", "D")] + [
        {"id": "JB", "node": "B", "none_because": "a bolted joint, drawing S-9"}
    ]
    report = checked(document)
    said = {each["kind"]: each for each in report["findings"] if each["rule"] == "engine/unjudged-joints"}
    assert "(D)" in said["open"]["message"]
    assert said["informational"]["where"]["joint"] == "JB"
    assert report["verdict"] in ("open", "fail")


OPEN = {
    "no tolerance": (lambda d: d["splices"][0].update(placing_tolerance_mm=None), "engine/placing-tolerance", "How far off"),
    "per plate or per pair": (lambda d: d["plate_types"][0].update(declared_per=None), TEETH, "per plate or per pair"),
    "no strength": (lambda d: d["plate_types"][0].update(f_a_0_0_k_mpa=None), TEETH, "f_a,0,0,k"),
    "no steel": (lambda d: d["plate_types"][0].update(f_t_0_k_n_per_mm=None), STEEL, "f_t,0,k"),
    "no constant": (lambda d: d["plate_types"][0].update(k_v=None), STEEL, "k_v"),
    "invented": (lambda d: d["plate_types"][0].update(invented=True), TEETH, "invented"),
    "invented steel": (lambda d: d["plate_types"][0].update(invented=True), STEEL, "invented"),
    "invented, told once": (lambda d: d["plate_types"][0].update(invented=True), "engine/invented-values", "invented"),
    "beside the timber": (lambda d: d["splices"][0].update(offset_mm=[0, 400]), TEETH, "reach"),
    "all on one side": (lambda d: d["splices"][0].update(offset_mm=[200, 0]), TEETH, "reach"),
    "over no line": (lambda d: d["splices"][0].update(offset_mm=[200, 0]), STEEL, "joint line"),
}


@pytest.mark.parametrize(("change", "rule", "asked"), OPEN.values(), ids=OPEN)
def test_what_is_not_known_leaves_the_joint_open(checked, change: Callable[[Document], object], rule: str, asked: str):
    document = copy.deepcopy(plating.pulled_tie(4.0))
    change(document)
    report = checked(document)
    found = of(report, rule, "SP")
    assert found["kind"] == "open"
    assert asked in found["message"]
    assert report["verdict"] == "open"


def test_a_fail_is_not_hidden_by_what_is_not_known(checked):
    """The tolerance is open, and the plates fail where they are drawn."""
    report = checked(plating.pulled_tie(30.0, placing_tolerance_mm=None))
    assert of(report, TEETH, "SP")["kind"] == "fail"
    assert report["verdict"] == "fail"


def test_not_for_construction_while_a_plate_is_invented(checked):
    report = checked(plating.pulled_tie(4.0) | {"plate_types": [plating.TYPE | {"invented": True}]})
    assert report["cautions"][0].startswith("NOT FOR CONSTRUCTION")


def test_a_stiff_end_at_plates_is_judged_for_its_moment(checked, found):
    """A web rigid at both ends passes moment; its joints are given, so the end is no longer open, and the plates feel it."""
    stiff, plain = plating.truss(), plating.truss()
    stiff["members"][4]["ends"] = {"start": "rigid", "end": "rigid"}
    report = checked(stiff)
    assert found(report, "eurocode-timber/stiff-joint", "W1")["kind"] == "notApplicable"
    assert of(report, TEETH, "JF")["utilisation"] != pytest.approx(of(checked(plain), TEETH, "JF")["utilisation"], rel=1e-6)
    without = stiff | {"joints": [each for each in stiff["joints"] if each["node"] != "F"]}
    assert found(checked(without), "eurocode-timber/stiff-joint", "W1")["kind"] == "open"


def test_pieces_along_each_other_are_for_an_engineer(checked):
    """Two ties lapped over the same line at one node: no cut line can be told."""
    document = plating.pulled_tie(4.0) | {"splices": []}
    document["nodes"].append(plating.node("C", 3000 * math.cos(0.05), 3000 * math.sin(0.05)))
    document["members"].append(plating.piece("T2", "ceiling-tie", ["A", "C"], 97))
    document["supports"].append({"id": "S3", "node": "C", "holds": ["y"]})
    document["actions"][0]["loads"].append({"node": "C", "x_kn": 1.0, "y_kn": 0.0})
    document["joints"] = [plating.joint("J", "A", 200, 100, 0, (100, 0))]
    report = checked(document)
    assert of(report, TEETH, "J")["kind"] == "open"
    assert "engineer" in of(report, TEETH, "J")["message"]


def test_metal_webs_are_for_an_engineer(checked):
    """A web by its properties has no outline: the joint is open, and says so."""
    document = plating.truss()
    document["members"][3]["section"] = {"area_mm2": 120, "second_moment_mm4": 2100, "modulus_mm3": 150}
    assert of(checked(document), TEETH, "JF")["kind"] == "open"


def test_every_ply_has_its_own_plates_and_is_handled_alone(checked):
    """Two plies of a truss share the roof's force over four plates; in handling each truss has its own two."""
    one, two = plating.truss(), plating.truss()
    for each in two["members"]:
        each["plies"] = 2
    single, double = (checked(each | {"component_type": "trussed-rafter"}) for each in (one, two))
    assert of(double, TEETH, "JB")["utilisation"] == pytest.approx(of(single, TEETH, "JB")["utilisation"] / 4, rel=1e-6)
    handled = [of(each, "eurocode-timber/joint-handling", "JB", "anchorage")["utilisation"] for each in (single, double)]
    assert handled[0] == pytest.approx(handled[1])


def test_waivers_name_joints(checked):
    waiver = {
        "rule": TEETH,
        "element": {"kind": "joint", "id": "SP"},
        "reason": "tested",
        "approved_by": "E. Ngineer",
        "expires": "2027-01-01",
    }
    report = checked(plating.pulled_tie(17.0) | {"waivers": [waiver]})
    assert of(report, TEETH, "SP")["waiver"]["approved_by"] == "E. Ngineer"


def test_a_force_of_handling_on_every_joint_of_a_truss(checked):
    """6.8 m over all: 1.68 kN, half a plate; the weakest direction is across plate or grain, 1.5 N/mm²."""
    document = plating.truss() | {"component_type": "trussed-rafter"}
    found = of(checked(document), "eurocode-timber/joint-handling", "JB", "anchorage")
    working = shown(found)
    assert working["F_r,d"] == pytest.approx(1680.0)
    assert working["f_a,min,d"] == pytest.approx(0.9 * 1.5 / 1.3)
    assert found["utilisation"] == pytest.approx(840.0 / working["A_ef"] / (0.9 * 1.5 / 1.3))
