"""Load shared with neighbours, and strength gained beside clear bearings: only where every condition is stated."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[3] / "service" / "demo" / "designs"
SHARING = {"by": "battens", "spans": 2, "staggered": True}


@pytest.fixture
def fink():
    return json.loads((DEMO / "fink.json").read_text("utf-8")) | {"count": 12, "spacing_mm": 600, "load_sharing": SHARING}


def factor(report, found, element, rule="bending", symbol="k_sys"):
    steps = found(report, f"eurocode-timber/{rule}", element, *(["member"] if rule == "bearing" else []))["working"]
    return next(step["value"] for step in steps if step["symbol"] == symbol)


def test_rafters_share_and_ties_do_not(fink, checked, found):
    report = checked(fink)
    assert factor(report, found, "TC1") == 1.1
    assert factor(report, found, "BC") == 1.0


SPOILT = {
    "nothing spreads it": {"load_sharing": None},
    "joints in one line": {"load_sharing": SHARING | {"staggered": False}},
    "single gaps": {"load_sharing": SHARING | {"spans": 1}},
    "not said how far": {"load_sharing": {"by": "boards", "staggered": True}},
    "too far apart": {"spacing_mm": 1201},
    "too few": {"count": 3},
    "beside a hatch": {"load_width_mm": 900},
}


@pytest.mark.parametrize("change", SPOILT.values(), ids=SPOILT)
def test_each_condition_counts(fink, checked, found, change):
    assert factor(checked(fink | change), found, "TC1") == 1.0


def test_a_girder_shares_with_nobody(fink, checked, found):
    for member in fink["members"]:
        member["plies"] = 2
    assert factor(checked(fink), found, "TC1") == 1.0


def joist(document, **seat):
    return document | {
        "component_type": "solid-joist",
        "nodes": [{"id": "A", "x_mm": 0, "y_mm": 0}, {"id": "B", "x_mm": 4000, "y_mm": 0}],
        "members": [{"id": "J", "role": "joist", "nodes": ["A", "B"], "section": {"b_mm": 47, "h_mm": 195}, "grade": "C24"}],
        "supports": [
            {"id": "S1", "node": "A", "holds": ["x", "y"], "seat": {"on": "masonry", "length_mm": 100} | seat},
            {"id": "S2", "node": "B", "holds": ["y"], "seat": {"on": "masonry", "length_mm": 100}},
        ],
        "actions": [
            {"id": "g", "nature": "permanent", "loads": [{"member": "J", "line_kn_per_m": 1.0, "along": "member", "direction": "down"}]}
        ],
    }


def gain(report, found):
    return factor(report, found, "S1", "bearing", "k_c,90")


def test_a_joist_with_clear_timber_beside_its_bearing_gains(document, checked, found):
    assert gain(checked(joist(document)), found) == 1.5


@pytest.mark.parametrize(("at", "expected"), [(439.9, 1.0), (440.1, 1.5)])
def test_a_point_load_must_stand_two_depths_away(document, checked, found, at, expected):
    """Clear from the bearing's edge at 50 mm: 2 x 195 = 390 mm."""
    design = joist(document)
    design["actions"][0]["loads"].append({"member": "J", "point_kn": 0.5, "at_mm": at, "direction": "down"})
    assert gain(checked(design), found) == expected


def test_a_person_anywhere_may_stand_over_the_bearing(document, checked, found):
    design = joist(document)
    design["actions"].append(
        {
            "id": "p",
            "nature": "imposed",
            "category": "A",
            "loads": [{"member": "J", "point_kn": 2.0, "anywhere": True, "direction": "down"}],
        }
    )
    assert gain(checked(design), found) == 1.0


def test_the_heel_of_a_truss_gains_nothing(fink, checked, found):
    assert gain(checked(fink), found) == 1.0
