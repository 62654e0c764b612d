"""Nails, screws and bolts of straps and hangers: what they carry by hand, what is asked for, and what is refused."""

from __future__ import annotations

import pytest

from rules.subject.faults import DesignRefused

DOWN = {"along": "member", "direction": "down"}
DECLARED = {"kn": 9.0, "stiffness_kn_per_mm": 2.0, "basis": "design", "document": "sheet 4"}

RINGED = {
    "kind": "nail", "count": 6, "diameter_mm": 4.0, "length_mm": 40, "form": "other", "f_u_mpa": 600, "f_ax_k_mpa": 6.1, "thread_mm": 30,
    "pulled": "across", "in_row": 1, "row_spacing_mm": 20, "end_mm": 60, "edge_mm": 30, "plate_mm": 1.5,
}  # fmt: skip


@pytest.fixture
def joist(bar):
    """A joist of 4 m of C24, 47 mm wide: 6 kN down at each end, or a gale that lifts it."""

    def make(strap=None, hanger=None, gale=0.0, seat=None):
        floor = {"member": "M", "line_kn_per_m": 2.0, **DOWN}
        loads = [{"id": "floor", "nature": "imposed", "category": "A", "duration": "medium", "loads": [floor]}]
        if gale:
            loads = [
                {"id": "gale", "nature": "wind", "loads": [{"member": "M", "line_kn_per_m": gale, "along": "member", "direction": "up"}]}
            ]
        frame = bar(4000, {"b_mm": 47, "h_mm": 195}, actions=loads)
        for support in frame["supports"]:
            support["seat"] = seat or {"on": "hanger", "length_mm": 75, "grade": "C24", "section": {"b_mm": 75, "h_mm": 195}}
            support |= {"held_down_by": strap} if strap else {}
        if hanger:
            frame["hangers"] = [{"id": "H1", "support": "S1", "declared_per": "hanger", **hanger}]
        return frame

    return make


def test_a_strap_by_hand(joist, parts):
    """1.5 x 1 kN/m x 2 m = 3 kN: six ringed nails carry 5.92 kN instantaneously (the rule's first case); what is below is declared apart."""
    frame = joist({"bearings": 1, "fasteners": RINGED, "rest_capacity": {**DECLARED, "kn": 4.0}}, gale=1.0)
    found = parts(frame, "bearing-fasteners", "S1")
    assert {part: each["kind"] for part, each in found.items()} == {
        "up": "pass", "down": "notApplicable", "splitting": "open", "block-shear": "notApplicable", "placing": "pass",
    }  # fmt: skip
    assert found["up"]["demand"]["value"] == pytest.approx(3.0)
    assert found["up"]["limit"]["value"] == pytest.approx(5.9217, rel=1e-4)
    assert parts(frame, "holding-down", "S1")[""]["limit"]["value"] == pytest.approx(4.0)


def test_a_strap_whose_steel_nobody_declares_stays_open(joist, parts):
    frame = joist({"bearings": 1, "fasteners": RINGED}, gale=1.0)
    assert parts(frame, "holding-down", "S1")[""]["kind"] == "open"


def test_a_strap_of_several_bearings_is_fixed_to_the_plate(joist, parts):
    strap = {"bearings": 2, "fasteners": RINGED, "rest_capacity": DECLARED}
    plate = {"on": "wall-plate", "length_mm": 100, "grade": "C16", "section": {"b_mm": 100, "h_mm": 47}}
    found = parts(joist(strap, gale=0.5, seat=plate), "bearing-fasteners", "S1")["up"]
    assert found["demand"]["value"] == pytest.approx(3.0)
    densities = {step["symbol"]: step["value"] for step in found["working"]}
    assert densities["ρ_k,2"] == 310
    unknown = parts(joist(strap, gale=0.5, seat={"on": "wall-plate", "length_mm": 100}), "bearing-fasteners", "S1")["up"]
    assert unknown["kind"] == "open"


def test_steel_of_unknown_thickness_is_asked_for(joist, parts):
    strap = {"bearings": 1, "fasteners": {**RINGED, "plate_mm": None}, "rest_capacity": DECLARED}
    finding = parts(joist(strap, gale=1.0), "bearing-fasteners", "S1")["up"]
    assert finding["kind"] == "open"
    assert "thickness of the steel" in finding["message"]


def test_a_screw_drawn_out_needs_its_thread_in_the_timber(joist, parts):
    """6 d = 36 mm of thread (8.7.2(3)): 30 mm are too little, however long the screw."""
    screws = {
        "kind": "screw",
        "diameter_mm": 6,
        "root_mm": 4,
        "length_mm": 45,
        "head_mm": 12,
        "pulled": "along",
        "form": None,
        "f_ax_k_mpa": 12,
        "f_tens_k_kn": 9,
    }
    used = {
        thread: parts(joist({"bearings": 1, "fasteners": {**RINGED, **screws, "thread_mm": thread}, "rest_capacity": DECLARED}, gale=1.0), "bearing-fasteners", "S1")
        for thread in (30, 40)
    }  # fmt: skip
    depth = {
        thread: next(s["value"] for s in found["placing"]["working"] if s["symbol"] == "t_min / t_2") for thread, found in used.items()
    }
    assert depth == {30: pytest.approx(36 / 30), 40: pytest.approx(36 / 40)}
    assert used[30]["placing"]["kind"] == "fail"


def test_a_hanger_by_hand(joist, parts):
    """Ten nails 3.75 x 40 under 2 mm: 0.8 x 10 x 1.0555 / 1.3 = 6.495 kN (the rule's case, no rope) against 6 kN."""
    nails = {**RINGED, "count": 10, "diameter_mm": 3.75, "plate_mm": 2, "f_ax_k_mpa": None, "thread_mm": None}
    frame = joist(hanger={"fasteners": nails, "rest_down": {**DECLARED, "kn": 8.0}})
    found = parts(frame, "bearing-fasteners", "S1")
    assert found["down"]["kind"] == "pass"
    assert found["down"]["limit"]["value"] == pytest.approx(6.4954, rel=1e-4)
    assert parts(frame, "hanger", "S1")[""]["limit"]["value"] == pytest.approx(8.0)


def test_a_strap_beside_a_hanger_does_not_excuse_its_nails(joist, parts):
    """Two nails under 6 kN fail; the uplift is the declared strap's, and none of theirs."""
    frame = joist({"bearings": 1, "capacity": DECLARED}, {"fasteners": {**RINGED, "count": 2}, "rest_down": {**DECLARED, "kn": 8.0}})
    assert parts(frame, "bearing-fasteners", "S1")["down"]["kind"] == "fail"
    frame = joist({"bearings": 1, "capacity": DECLARED}, {"fasteners": {**RINGED, "count": 2}, "rest_down": DECLARED}, gale=1.0)
    assert parts(frame, "bearing-fasteners", "S1")["up"]["kind"] == "notApplicable"


REFUSED = {
    "/supports/0/held_down_by/capacity": {"strap": {"bearings": 1, "fasteners": RINGED, "capacity": DECLARED}},
    "/supports/0/held_down_by/rest_capacity": {"strap": {"bearings": 1, "rest_capacity": DECLARED}},
    "/hangers/0/down": {"hanger": {"fasteners": RINGED, "down": DECLARED}},
    "/hangers/0/rest_up": {"hanger": {"rest_up": DECLARED}},
    "/hangers/0/fasteners": {"strap": {"bearings": 1, "fasteners": RINGED}, "hanger": {"fasteners": RINGED}},
}


@pytest.mark.parametrize(("pointer", "said"), REFUSED.items(), ids=REFUSED)
def test_what_contradicts_itself_at_a_bearing_is_refused(joist, checked, pointer, said):
    with pytest.raises(DesignRefused) as refused:
        checked(joist(**said))
    assert ("contradiction", pointer) in [(fault.code, fault.pointer) for fault in refused.value.faults]


@pytest.mark.parametrize(("reach", "kind"), [(None, "open"), (120, "pass"), (20, "fail")])
def test_a_strap_splits_what_it_pulls_at_near_its_edge(joist, parts, reach, kind):
    """14 x 38.5 x sqrt(120/(1 - 120/195)) x 1.1/1.3 = 8.06 kN, at 20 mm 2.15 kN, for 3 kN; unstated, 30 mm to the nearest edge give 2.71 kN."""
    strap = {"bearings": 1, "fasteners": {**RINGED, "edge_to_farthest_mm": reach}, "rest_capacity": DECLARED}
    found = parts(joist(strap, gale=1.0), "bearing-fasteners", "S1")["splitting"]
    assert found["kind"] == kind
    assert found["demand"]["value"] == pytest.approx(3.0)
    if reach:
        assert found["limit"]["value"] == pytest.approx({120: 8.055925, 20: 2.153037}[reach], rel=1e-5)
    else:
        assert "edge_to_farthest_mm" in found["message"]


def test_the_shear_beside_an_inner_strap_is_the_greater_of_both_sides(joist, parts):
    """A joist of two spans lifted by 1.5 kN/m: V = 5/8 q L on both sides of the middle, the strap pulls with their sum."""
    strap = {"bearings": 1, "fasteners": {**RINGED, "edge_to_farthest_mm": 120}, "rest_capacity": DECLARED}
    frame = joist(strap, gale=1.0)
    frame["nodes"].append({"id": "mid", "x_mm": 2000, "y_mm": 0})
    (piece,) = frame["members"]
    piece["nodes"] = [piece["nodes"][0], "mid", piece["nodes"][1]]
    frame["supports"].append({**frame["supports"][1], "id": "S3", "node": "mid"})
    found = parts(frame, "bearing-fasteners", "S3")["splitting"]
    steps = {step["symbol"]: step["value"] for step in found["working"]}
    assert (steps["V_1"], steps["V_2"]) == pytest.approx((steps["V_1"], -steps["V_1"]), rel=1e-6)
    assert abs(steps["V_1"]) == pytest.approx(5 / 8 * 1.5 * 2000, rel=0.02), "shear of the beam itself moves a little of it"
    assert found["demand"]["value"] == pytest.approx(2 * abs(steps["V_1"]) / 1000, rel=1e-6)


@pytest.mark.parametrize(
    ("said", "kind", "asked"),
    [({}, "open", "shear_beside_kn"), ({"shear_beside_kn": 6.0}, "pass", ""), ({"shear_beside_kn": 9.0}, "fail", ""),],
)  # fmt: skip
def test_a_hanger_asks_for_the_shear_of_what_carries_it(joist, parts, said, kind, asked):
    """Nails up to 150 mm over the lower edge of 75 x 195: 14 x 38 x sqrt(150/(1 - 150/195)) x 0.8/1.3 = 8.35 kN."""
    nails = {**RINGED, "count": 10, "diameter_mm": 3.75, "plate_mm": 2, "f_ax_k_mpa": None, "thread_mm": None, "edge_to_farthest_mm": 150}
    rest = {**DECLARED, "kn": 8.0}
    found = parts(joist(hanger={"fasteners": nails | said, "rest_down": rest}), "bearing-fasteners", "S1")["splitting"]
    assert found["kind"] == kind
    assert asked in found["message"]
    top = parts(joist(hanger={"fixed": "top", "fasteners": nails | said, "rest_down": rest}), "bearing-fasteners", "S1")["splitting"]
    assert top["kind"] == "notApplicable"
