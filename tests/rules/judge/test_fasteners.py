"""Nails, screws and bolts of braces, straps and hangers: what they carry by hand, what is asked for, what is refused, and how it moves."""

from __future__ import annotations

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rules.subject.faults import DesignRefused

DOWN = {"along": "member", "direction": "down"}
DECLARED = {"kn": 9.0, "stiffness_kn_per_mm": 2.0, "basis": "design", "document": "sheet 4"}
NAILS = {
    "kind": "nail", "count": 2, "diameter_mm": 3.1, "length_mm": 75, "form": "round", "f_u_mpa": 600, "head_mm": 7, "pulled": "across",
    "in_row": 1, "row_spacing_mm": 40, "end_mm": 60, "edge_mm": 25,
}  # fmt: skip
RINGED = {
    "kind": "nail", "count": 6, "diameter_mm": 4.0, "length_mm": 40, "form": "other", "f_u_mpa": 600, "f_ax_k_mpa": 6.1, "thread_mm": 30,
    "pulled": "across", "in_row": 1, "row_spacing_mm": 20, "end_mm": 60, "edge_mm": 30, "plate_mm": 1.5,
}  # fmt: skip


@pytest.fixture
def strut(bar):
    """A strut of 2 m of C24 that the snow presses, held at mid-length by a board of C16, one of ten."""

    def make(fasteners=NAILS, push=6.0, **said):
        item = {
            "id": "line", "kind": "binder", "members": ["M"], "edge": "top", "spacing_mm": 1000, "section": {"b_mm": 97, "h_mm": 22}, "grade": "C16",
            "fasteners": fasteners, "anchor_capacity": DECLARED, "anchored_to": "gable wall", **said,
        }  # fmt: skip
        pushed = [{"id": "snow", "nature": "snow", "duration": "short", "loads": [{"node": "B", "y_kn": -push / 1.5}]}]
        restraint = {"in_plane_mm": 2000, "out_of_plane_mm": 1000}
        frame = bar(2000, {"b_mm": 47, "h_mm": 97}, upright=True, restraint=restraint, component_type="trussed-rafter", actions=pushed)
        return frame | {"bracing": [item], "spacing_mm": 600, "count": 10}

    return make


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


@pytest.fixture
def parts(checked):
    def run(frame, rule, element=None):
        findings = [f for f in checked(frame)["findings"] if f["rule"] == f"eurocode-timber/{rule}"]
        return {f["part"]: f for f in findings if element in (None, f["where"]["support"])}

    return run


def test_the_nails_of_a_binder_by_hand(strut, parts):
    """F_d = 6000/60 = 100 N. The hand calculation of the rule's first case: 2 x 684.4 N, k_mod 0.9; 4 x 6 kN / 1 m = 24 N/mm against 860."""
    found = parts(strut(), "brace-fasteners")
    assert {part: each["kind"] for part, each in found.items()} == {
        "strength": "pass", "splitting": "pass", "placing": "pass", "stiffness": "pass", "deflection": "notApplicable",
    }  # fmt: skip
    assert found["strength"]["demand"]["value"] == pytest.approx(0.1)
    assert found["strength"]["limit"]["value"] == pytest.approx(0.9 * 2 * 0.68442 / 1.3, rel=1e-4)
    assert found["stiffness"]["limit"]["value"] == pytest.approx(860, abs=0.5)
    assert {f["kind"] for part, f in parts(strut(), "bracing").items() if part in ("fixings", "stiffness")} == {"notApplicable"}


def test_a_diagonal_moves_by_the_slip_of_its_nails(strut, parts):
    found = parts(strut({**NAILS, "count": 20}, kind="diagonal", rows=1, angle_deg=45), "brace-fasteners")
    assert found["deflection"]["kind"] == "pass"
    force, length = 1200 / 2 / math.cos(math.pi / 4), 2000 / math.sin(math.pi / 4)
    slip = 1 / (20 * 645.0 * 2 / 3) + 1 / (2000 * 2 / 3)
    assert found["deflection"]["demand"]["value"] == pytest.approx(
        force * (length / (8000 * 2134) + slip) / math.cos(math.pi / 4), rel=1e-3
    )
    assert found["strength"]["demand"]["value"] == pytest.approx(0.1), "at each piece; what it has collected is its anchorage's"


def test_a_face_is_as_deep_as_the_piece_is_wide(strut, parts):
    """Into the 97 mm of an edge the nail reaches 53 mm; into the 47 mm of a face no further than the piece goes."""
    point = {
        edge: next(s for s in parts(strut(edge=edge), "brace-fasteners")["strength"]["working"] if s["symbol"] == "t_2")["value"]
        for edge in ("top", None)
    }
    assert point == {"top": 53.0, None: 47.0}


MISSING = {
    "which way they are pulled": ({"pulled": None}, "strength", "Which way does the force go"),
    "the wire": ({"f_u_mpa": None}, "strength", "tensile strength of their wire"),
    "the shank": ({"form": None}, "strength", "Of which form"),
    "the edge": ({"edge_mm": None}, "placing", "to an edge"),
    "the end": ({"end_mm": None}, "placing", "to an end"),
    "the lines": ({"row_spacing_mm": None}, "placing", "lines from each other"),
    "the spacing": ({"in_row": 2}, "strength", "in one line"),
    "the core of a screw": ({"kind": "screw", "m_y_k_nmm": 5000}, "strength", "core of the thread"),
    "the thread drawn out": ({"kind": "screw", "root_mm": 2.0, "pulled": "along"}, "strength", "length of thread"),
    "what a ringed nail holds": ({"form": "other", "pulled": "along", "thread_mm": 30}, "strength", "declared strength against withdrawal"),
    "figures nobody made up": ({"invented": True}, "strength", "invented"),
}


@pytest.mark.parametrize(("said", "part", "question"), MISSING.values(), ids=MISSING)
def test_what_is_missing_is_asked_for_and_never_passes(strut, parts, said, part, question):
    finding = parts(strut({**NAILS, **said}), "brace-fasteners")[part]
    assert finding["kind"] == "open"
    assert question in finding["message"]


def test_grades_that_are_not_known_are_asked_for(strut, parts):
    finding = parts(strut(grade=None), "brace-fasteners")["strength"]
    assert finding["kind"] == "open"
    assert "density of the timber under the heads" in finding["message"]


def test_invented_fasteners_mark_the_report(strut, checked):
    assert checked(strut({**NAILS, "invented": True}))["cautions"][0].startswith("NOT FOR CONSTRUCTION")


def test_nails_in_the_narrow_edge_of_a_truss_are_too_near_it(strut, parts):
    """7 d = 21.7 mm where half of 35 mm is 17.5."""
    finding = parts(strut({**NAILS, "edge_mm": 17.5}), "brace-fasteners")["placing"]
    assert (finding["kind"], finding["utilisation"]) == ("fail", pytest.approx(1.24))


def test_a_strap_by_hand(joist, parts):
    """1.5 x 1 kN/m x 2 m = 3 kN: six ringed nails carry 5.92 kN instantaneously (the rule's first case); what is below is declared apart."""
    frame = joist({"bearings": 1, "fasteners": RINGED, "rest_capacity": {**DECLARED, "kn": 4.0}}, gale=1.0)
    found = parts(frame, "bearing-fasteners", "S1")
    assert {part: each["kind"] for part, each in found.items()} == {
        "up": "pass", "down": "notApplicable", "splitting": "open", "placing": "pass",
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
    "/bracing/0/fixing_capacity": ("strut", {"fixing_capacity": DECLARED}),
    "/bracing/0/nails": ("strut", {"nails": {"count": 2, "diameter_mm": 3.1, "length_mm": 75}}),
    "/bracing/0/fasteners/in_row": ("strut", {"fasteners": {**NAILS, "in_row": 3}}),
    "/bracing/0/fasteners/pull_angle_deg": ("strut", {"fasteners": {**NAILS, "pull_angle_deg": 30}}),
    "/supports/0/held_down_by/capacity": ("joist", {"strap": {"bearings": 1, "fasteners": RINGED, "capacity": DECLARED}}),
    "/supports/0/held_down_by/rest_capacity": ("joist", {"strap": {"bearings": 1, "rest_capacity": DECLARED}}),
    "/hangers/0/down": ("joist", {"hanger": {"fasteners": RINGED, "down": DECLARED}}),
    "/hangers/0/rest_up": ("joist", {"hanger": {"rest_up": DECLARED}}),
    "/hangers/0/fasteners": ("joist", {"strap": {"bearings": 1, "fasteners": RINGED}, "hanger": {"fasteners": RINGED}}),
}


@pytest.mark.parametrize("pointer", REFUSED)
def test_what_contradicts_itself_is_refused(request, checked, pointer):
    frame, said = REFUSED[pointer]
    with pytest.raises(DesignRefused) as refused:
        checked(request.getfixturevalue(frame)(**said))
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


def test_a_pull_both_ways_wants_its_angle(strut, parts):
    asked = parts(strut({**NAILS, "pulled": "both"}), "brace-fasteners")["strength"]
    assert asked["kind"] == "open"
    assert "angle between the force and the fasteners" in asked["message"]
    found = parts(strut({**NAILS, "pulled": "both", "pull_angle_deg": 60}), "brace-fasteners")["strength"]
    assert (found["kind"], found["limit"]["value"]) == ("pass", pytest.approx(0.513343, rel=1e-4))


def test_bolts_drawn_along_want_their_washers(strut, parts):
    bolt = {"kind": "bolt", "count": 1, "diameter_mm": 12, "length_mm": 140, "f_u_mpa": 400, "pulled": "along", "end_mm": 90, "edge_mm": 60}
    assert "diameter of the washers" in parts(strut(bolt), "brace-fasteners")["strength"]["message"]
    found = parts(strut(bolt | {"washer_mm": 44, "washer_thickness_mm": 4}), "brace-fasteners")["strength"]
    steps = {step["symbol"]: step["value"] for step in found["working"]}
    assert steps["F_c,90,k"] == pytest.approx(3 * 2.2 * math.pi / 4 * (44**2 - 13**2)), "the board of C16 is the softer side"
    assert found["limit"]["value"] == pytest.approx(0.9 / 1.3 * steps["F_c,90,k"] / 1000)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    diameter=st.floats(2.2, 6.0), length=st.floats(60, 110), count=st.integers(1, 6), more=st.floats(1.0, 1.5),
    form=st.sampled_from(["round", "square", "other"]),
)  # fmt: skip
def test_more_stronger_or_longer_nails_never_carry_less(strut, parts, diameter, length, count, more, form):
    def limit(**said):
        nails = {**NAILS, "diameter_mm": diameter, "length_mm": length, "count": count, "form": form, **said}
        return parts(strut(nails), "brace-fasteners")["strength"]["limit"]["value"]

    plain = limit() * (1 - 1e-9)
    assert limit(count=count + 1) >= plain
    assert limit(f_u_mpa=600 * more) >= plain
    assert limit(length_mm=length * more) >= plain


def test_the_schedule_names_the_nails(strut, checked):
    row = next(row for row in checked(strut())["bracing"]["rows"] if row["item"] == "line")
    assert row["fixing"] == "2 nails 3.1 × 75 mm at each piece"


BOLT = {
    "kind": "bolt", "count": 1, "diameter_mm": 10, "length_mm": 140, "f_u_mpa": 400, "pulled": "across", "end_mm": 90, "edge_mm": 45,
}  # fmt: skip


@pytest.mark.parametrize(("kind", "word"), [("binder", "fail"), ("batten", "pass")])
def test_one_nail_is_no_joint_but_where_many_lie_close_together(strut, parts, kind, word):
    """8.3.1.1(9): two at least. A batten has the next one beside it."""
    assert parts(strut({**NAILS, "count": 1}, kind=kind), "brace-fasteners")["placing"]["kind"] == word


def test_nails_driven_askew_are_left_open_and_what_is_declared_of_them_is_asked_for(strut, parts):
    found = parts(strut({**NAILS, "askew": True}), "brace-fasteners")
    assert {part: each["kind"] for part, each in found.items() if part != "deflection"} == dict.fromkeys(
        ("strength", "splitting", "placing", "stiffness"), "open"
    )
    assert "driven askew" in found["strength"]["message"]


@pytest.mark.parametrize(
    ("play", "placing", "stiffness"),
    [(None, "open", "open"), (0, "pass", "pass"), (1, "pass", "open"), (1.5, "fail", "open")],
)  # fmt: skip
def test_bolts_say_how_loose_they_are(strut, parts, play, placing, stiffness):
    """10.4.3(1): 1 mm at most. What moves in its hole before it holds has no slip modulus that would tell how firm it is."""
    found = parts(strut({**BOLT, "play_mm": play}, push=1.0), "brace-fasteners")
    assert (found["placing"]["kind"], found["stiffness"]["kind"]) == (placing, stiffness)
    if play is None:
        assert "bracing.fasteners.play_mm" in found["placing"]["message"]
