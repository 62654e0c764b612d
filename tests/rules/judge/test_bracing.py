"""Every item of bracing: what it must take, by hand and by law: proportional to the force, rising with the count, the same for both slopes."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.demo import read_design

DOWN = {"along": "member", "direction": "down"}
NAILS = {"kn": 0.9, "stiffness_kn_per_mm": 1.37, "basis": "characteristic", "gamma_m": 1.3, "k_mod": "applies", "document": "sheet 4"}
PARTS = ("fixings", "pull", "push", "anchorage", "stiffness", "deflection")


def item(**said):
    return {
        "id": "line", "kind": "binder", "members": ["M"], "spacing_mm": 1000, "section": {"b_mm": 97, "h_mm": 22}, "grade": "C16",
        "fixing_capacity": NAILS, "anchor_capacity": {**NAILS, "kn": 4.0}, "anchored_to": "gable wall", **said,
    }  # fmt: skip


@pytest.fixture
def strut(bar):
    """A strut of 2 m that the snow presses, held at mid-length, one of ten at 600 mm."""

    def make(push=6.0, count=10, **said):
        pushed = [{"id": "snow", "nature": "snow", "duration": "short", "loads": [{"node": "B", "y_kn": -push / 1.5}]}]
        restraint = {"in_plane_mm": 2000, "out_of_plane_mm": 1000}
        frame = bar(2000, {"b_mm": 47, "h_mm": 97}, upright=True, restraint=restraint, component_type="trussed-rafter", actions=pushed)
        return frame | {"bracing": [item(**said)], "spacing_mm": 600, "count": count}

    return make


@pytest.fixture
def judged(checked):
    def run(frame):
        return {f["part"]: f for f in checked(frame)["findings"] if f["rule"] == "eurocode-timber/bracing"}

    return run


def test_a_binder_by_hand(strut, judged):
    """N_d 6 kN, United Kingdom k_f 60: 100 N a crossing; ten struts and one anchor: 1 kN; C = 4 x 6000 / 1000 = 24 N/mm."""
    found = judged(strut())
    assert {part: each["kind"] for part, each in found.items()} == dict.fromkeys(PARTS[:5], "pass") | {"deflection": "notApplicable"}
    assert found["fixings"]["demand"] == {"value": pytest.approx(0.1), "unit": "kN"}
    assert found["fixings"]["limit"]["value"] == pytest.approx(0.9 * 0.9 / 1.3)
    assert found["anchorage"]["demand"]["value"] == pytest.approx(1.0)
    assert found["pull"]["demand"] == found["push"]["demand"] == found["anchorage"]["demand"]
    assert found["stiffness"]["demand"] == {"value": pytest.approx(24.0), "unit": "N/mm"}
    assert found["fixings"]["where"]["brace"] == "line"
    assert found["fixings"]["where"]["pointer"] == "/bracing/0"


def test_an_anchor_at_both_ends_halves_what_each_takes(strut, judged):
    assert judged(strut(anchors=2))["anchorage"]["demand"]["value"] == pytest.approx(0.5)
    assert judged(strut(count=11, anchors=2))["anchorage"]["demand"]["value"] == pytest.approx(0.6)


def test_diagonals_by_hand(strut, judged):
    """Q_d = 10 x 6 / 50 = 1.2 kN; one diagonal at 45 degrees takes half of it over cos 45: 0.849 kN; two, half of that."""
    for rows in (1, 2):
        found = judged(strut(kind="diagonal", rows=rows, angle_deg=45))
        assert found["anchorage"]["demand"]["value"] == pytest.approx(1.2 / 2 / rows / math.cos(math.pi / 4))
        assert found["deflection"]["kind"] == "pass"
        assert found["deflection"]["limit"]["value"] == pytest.approx(2000 / 700)


def test_wider_spacing_costs_more(strut, judged):
    wide = strut(kind="diagonal", rows=1, angle_deg=45) | {"spacing_mm": 601}
    assert judged(wide)["anchorage"]["demand"]["value"] == pytest.approx(10 * 6 / 40 / 2 / math.cos(math.pi / 4))


ASKED = {
    "the count": ({"count": None}, {}, "anchorage", "How many components alike"),
    "the grade": ({}, {"grade": None}, "pull", "Of which grade is the brace?"),
    "the section": ({}, {"section": None}, "push", "What is the brace's section?"),
    "the spacing of the components": ({"spacing_mm": None}, {}, "push", "How far apart do the components stand?"),
    "the fixings": ({}, {"fixing_capacity": None}, "fixings", "bracing.fixing_capacity"),
    "the basis": ({}, {"fixing_capacity": {**NAILS, "basis": None}}, "fixings", "design value or a characteristic one"),
    "the partial factor": ({}, {"fixing_capacity": {**NAILS, "gamma_m": None}}, "fixings", "gamma_m"),
    "the duration": ({}, {"fixing_capacity": {**NAILS, "k_mod": None}}, "fixings", "k_mod"),
    "the slip": ({}, {"fixing_capacity": {**NAILS, "stiffness_kn_per_mm": None}}, "stiffness", "How far do these fixings slip?"),
    "a figure nobody made up": ({}, {"anchor_capacity": {**NAILS, "invented": True}}, "anchorage", "invented"),
    "the diagonals": ({}, {"kind": "diagonal", "angle_deg": 45}, "anchorage", "How many diagonals"),
    "a diagonal in every plane": ({}, {"kind": "diagonal", "angle_deg": 45, "rows": 0}, "anchorage", "How many diagonals"),
    "the angle": ({}, {"kind": "diagonal", "rows": 2}, "anchorage", "At what angle"),
}


@pytest.mark.parametrize(("whole", "said", "part", "question"), ASKED.values(), ids=ASKED)
def test_what_is_not_stated_is_asked_for_and_never_passes(strut, judged, whole, said, part, question):
    finding = judged(strut(**said) | whole)[part]
    assert finding["kind"] == "open"
    assert question in finding["message"]
    assert finding["message"].count("Of which grade") <= 1


def test_a_weak_anchorage_fails(strut, judged):
    found = judged(strut(anchor_capacity={**NAILS, "kn": 0.9}))
    assert found["anchorage"]["kind"] == "fail"
    assert found["anchorage"]["remedies"]


def test_boards_are_no_struts(strut, judged):
    assert {each["kind"] for each in judged(strut(kind="board")).values()} == {"notApplicable"}


def test_invented_strengths_mark_the_report(strut, checked):
    report = checked(strut(anchor_capacity={**NAILS, "invented": True}))
    assert report["cautions"][0].startswith("NOT FOR CONSTRUCTION")


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(push=st.floats(0.5, 12.0), count=st.integers(1, 40), more=st.integers(0, 10))
def test_force_is_proportional_and_a_longer_row_never_asks_less(strut, judged, push, count, more):
    one, twice, longer = (
        judged(strut(*args))["anchorage"]["demand"]["value"] for args in ((push, count), (2 * push, count), (push, count + more))
    )
    assert twice == pytest.approx(2 * one)
    assert longer >= one * (1 - 1e-12)


def test_both_slopes_of_a_pair_ask_the_same(couple, judged):
    loads = [{"member": name, "line_kn_per_m": 0.6, **DOWN} for name in ("R1", "R2")]
    frame = couple(4000, 1500, actions=[{"id": "g", "nature": "permanent", "loads": loads}])
    for member in frame["members"][:2]:
        member["restraint_spacing"] = {"out_of_plane_mm": 1250}
    each = [
        judged(frame | {"count": 8, "bracing": [item(members=[name], spacing_mm=1250)]})["anchorage"]["demand"] for name in ("R1", "R2")
    ]
    assert each[0]["value"] == pytest.approx(each[1]["value"], rel=1e-6)
    both = judged(frame | {"count": 8, "bracing": [item(members=["R1", "R2"], spacing_mm=1250)]})["anchorage"]["demand"]["value"]
    assert both == pytest.approx(each[0]["value"])


def test_the_mean_push_counts_every_bay_by_its_length(bar, checked, found):
    """A strut of 4 m with a short bay of 0.8 m: 3.6 kN in the short one, 9 kN in the long one; mean (3.6·0.8 + 9·3.2)/4 = 7.92 kN (own)."""
    pushed = [{"id": "snow", "nature": "snow", "duration": "short", "loads": [{"node": "C", "y_kn": -3.6}, {"node": "B", "y_kn": -2.4}]}]
    restraint = {"in_plane_mm": 2000, "out_of_plane_mm": 1000}
    frame = bar(4000, {"b_mm": 97, "h_mm": 97}, upright=True, restraint=restraint, component_type="trussed-rafter", actions=pushed)
    frame["nodes"].append({"id": "C", "x_mm": 0, "y_mm": 3200})
    frame["members"][0]["nodes"] = ["A", "C", "B"]
    frame |= {"bracing": [item()], "spacing_mm": 600, "count": 10}
    told = found(checked(frame), "eurocode-timber/brace-force", "M", part="force")
    assert told["demand"]["value"] == pytest.approx(7.92 / 60.0)


@pytest.mark.parametrize(("count", "told"), [(1, True), (2, False), (17, False)])
def test_a_component_that_stands_alone_says_that_its_bracing_runs_on(count, told, checked):
    report = checked(json.loads(read_design("fink")) | {"count": count})
    assert any(each["pointer"] == "/count" and "components beside it" in each["because"] for each in report["assumptions"]) == told
