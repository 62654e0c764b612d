"""Figures that can hardly be meant: nought off place, nought apart, strengths nobody vouches for, or beyond the timber that hands them on."""

from __future__ import annotations

import json

import pytest

from service.demo import read_design

DECLARED = {"kn": 4.0, "stiffness_kn_per_mm": 2.0, "basis": "design", "document": "sheet 4"}


@pytest.fixture
def said(checked):
    def run(document, rule):
        return [f for f in checked(document)["findings"] if f["rule"] == rule and f["kind"] not in ("pass", "notApplicable")]

    return run


@pytest.fixture
def plated():
    """The plated truss of the demo, its first joint as given here."""

    def make(**plates):
        document = json.loads(read_design("plated-fink"))
        joint = next(each for each in document["joints"] if "plate_type" in each)
        joint |= plates
        return document, joint["id"]

    return make


@pytest.mark.parametrize(("off", "kinds"), [(0, ["review"]), (0.9, ["review"]), (1.0, []), (6, [])])
def test_plates_that_sit_exactly_are_for_a_person_to_look_at(plated, said, off, kinds):
    document, joint = plated(placing_tolerance_mm=off)
    found = said(document, "engine/placing-tolerance")
    assert [each["kind"] for each in found] == kinds
    assert all(each["where"]["pointer"].endswith("/placing_tolerance_mm") and joint in each["message"] for each in found)


@pytest.mark.parametrize(("most", "kinds"), [(0.0, ["review"]), (1.0, [])])
def test_no_gap_at_all_is_for_a_person_to_look_at(plated, said, most, kinds):
    document, _ = plated(gaps={"mean_mm": 0.0, "most_mm": most})
    assert [each["kind"] for each in said(document, "engine/gaps-as-meant")] == kinds


@pytest.fixture
def braced(bar):
    """A strut of C24 pressed with 6 kN, one of ten, held at mid-length by a board of C16: 1 kN collected, 21.2 kN tears the board."""

    def make(**item):
        board = {
            "id": "line", "kind": "binder", "members": ["M"], "edge": "top", "spacing_mm": 1000, "section": {"b_mm": 100, "h_mm": 25}, "grade": "C16",
            "fixing_capacity": DECLARED, "anchor_capacity": DECLARED, "anchored_to": "gable wall", **item,
        }  # fmt: skip
        pushed = [{"id": "snow", "nature": "snow", "duration": "short", "loads": [{"node": "B", "y_kn": -4.0}]}]
        restraint = {"in_plane_mm": 2000, "out_of_plane_mm": 1000}
        frame = bar(2000, {"b_mm": 47, "h_mm": 97}, upright=True, restraint=restraint, component_type="trussed-rafter", actions=pushed)
        return frame | {"bracing": [board], "spacing_mm": 600, "count": 10}

    return make


@pytest.mark.parametrize("field", ["fixing_capacity", "anchor_capacity"])
@pytest.mark.parametrize(("sheet", "kinds"), [(None, ["review"]), ("sheet 4", [])])
def test_a_strength_of_bracing_wants_a_document_behind_it(braced, said, field, sheet, kinds):
    found = said(braced(**{field: {**DECLARED, "document": sheet}}), "engine/bracing-vouched-for")
    assert [each["kind"] for each in found] == kinds
    assert all(each["where"]["pointer"] == f"/bracing/0/{field}" for each in found)


@pytest.mark.parametrize(("field", "part"), [("fixing_capacity", "fixings"), ("anchor_capacity", "anchorage")])
@pytest.mark.parametrize(("kn", "kinds"), [(21.2, []), (21.3, ["review"]), (900.0, ["review"])])
def test_more_than_tears_the_brace_is_for_a_person_to_look_at(braced, said, field, part, kn, kinds):
    """A_b f_t,0,k = 2500 x 8.5 = 21.25 kN."""
    found = said(braced(**{field: {**DECLARED, "kn": kn}}), "eurocode-timber/bracing-declared")
    assert [each["kind"] for each in found if each["part"] == part] == kinds


@pytest.mark.parametrize(("specified", "found", "rules"), [
    (0, 3, {"room-in-a-hanger"}), (3, 0, {"gap-found-as-measured"}), (3, 2, set()), (0, 0, {"room-in-a-hanger", "gap-found-as-measured"}),
])  # fmt: skip
def test_joists_without_any_gap_are_for_a_person_to_look_at(checked, specified, found, rules):
    joist = json.loads(read_design("solid-joist"))
    for support in joist["supports"]:
        support["seat"] = {**support["seat"], "on": "hanger", "gap_specified_mm": specified}
    joist["as_built"] = {"at_supports": [{"support": each["id"], "gap_mm": found} for each in joist["supports"]]}
    joist.setdefault("codes", {})["packs"] = ["uk-national", "workshop-practice"]
    told = {f["rule"].partition("/")[2] for f in checked(joist)["findings"] if f["kind"] == "review"}
    assert told & {"room-in-a-hanger", "gap-found-as-measured"} == rules


@pytest.mark.parametrize(("sheet", "kinds"), [(None, ["review"]), ("sheet 4", [])])
def test_so_does_the_strength_of_a_strap(said, sheet, kinds):
    truss = json.loads(read_design("fink"))
    truss["supports"][1]["held_down_by"] = {"what": "strap", "bearings": 1, "capacity": {**DECLARED, "document": sheet}}
    found = said(truss, "engine/bracing-vouched-for")
    assert [(each["kind"], each["where"]["support"]) for each in found] == [(kind, "S2") for kind in kinds]
    assert all(each["where"]["pointer"] == "/supports/1/held_down_by/capacity" for each in found)


@pytest.mark.parametrize(("field", "sheet", "kinds"), [("down", None, ["review"]), ("up", None, ["review"]), ("down", "sheet 4", [])])
def test_so_does_that_of_a_hanger(said, field, sheet, kinds):
    joist = json.loads(read_design("solid-joist"))
    joist["supports"][0]["seat"] |= {"on": "hanger", "gap_specified_mm": 3}
    hanger = {"id": "H1", "support": "S1", "fixed": "face", "declared_per": "hanger", "down": DECLARED, "up": DECLARED}
    found = said(joist | {"hangers": [hanger | {field: {**DECLARED, "document": sheet}}]}, "engine/bracing-vouched-for")
    assert [(each["kind"], each["part"]) for each in found] == [(kind, field) for kind in kinds]


@pytest.mark.parametrize(
    ("end", "kinds"),
    [
        ("gable wall", []),
        ("Wall plates", []),
        ("the ring beam", []),
        ("firewalls", []),
        ("proof to come", ["review"]),
        ("nothing much", ["review"]),
        ("tbc", ["review"]),
        ("n/a", ["review"]),
        ("none", []),
    ],
)
def test_bracing_ends_in_a_part_of_the_building(braced, said, end, kinds):
    """Of nothing at all ("none") the restraints that rest on it speak."""
    found = said(braced(anchored_to=end), "engine/bracing-ends-in-what-stands")
    assert [each["kind"] for each in found] == kinds
    assert all(end in each["message"] and each["where"]["pointer"] == "/bracing/0/anchored_to" for each in found)
