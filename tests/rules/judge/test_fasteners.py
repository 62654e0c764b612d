"""Nails, screws and bolts of braces: what they carry by hand, what is asked for, what is refused, and how it moves."""

from __future__ import annotations

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rules.subject.faults import DesignRefused

DECLARED = {"kn": 9.0, "stiffness_kn_per_mm": 2.0, "basis": "design", "document": "sheet 4"}
NAILS = {
    "kind": "nail", "count": 2, "diameter_mm": 3.1, "length_mm": 75, "form": "round", "f_u_mpa": 600, "head_mm": 7, "pulled": "across",
    "in_row": 1, "row_spacing_mm": 40, "end_mm": 60, "edge_mm": 25,
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


def test_the_nails_of_a_binder_by_hand(strut, parts):
    """F_d = 6000/60 = 100 N. The hand calculation of the rule's first case: 2 x 684.4 N, k_mod 0.9; 4 x 6 kN / 1 m = 24 N/mm against 860."""
    found = parts(strut(), "brace-fasteners")
    assert {part: each["kind"] for part, each in found.items()} == {
        "strength": "pass", "splitting": "pass", "block-shear": "notApplicable", "placing": "pass", "stiffness": "pass", "deflection": "notApplicable",
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
    at_each_piece = 0.1 / math.cos(math.pi / 4)  # along itself; what it has collected is its anchorage's
    assert found["strength"]["demand"]["value"] == pytest.approx(at_each_piece)


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


REFUSED = {
    "/bracing/0/fixing_capacity": {"fixing_capacity": DECLARED},
    "/bracing/0/nails": {"nails": {"count": 2, "diameter_mm": 3.1, "length_mm": 75}},
    "/bracing/0/fasteners/in_row": {"fasteners": {**NAILS, "in_row": 3}},
    "/bracing/0/fasteners/pull_angle_deg": {"fasteners": {**NAILS, "pull_angle_deg": 30}},
}


@pytest.mark.parametrize(("pointer", "said"), REFUSED.items(), ids=REFUSED)
def test_what_contradicts_itself_is_refused(strut, checked, pointer, said):
    with pytest.raises(DesignRefused) as refused:
        checked(strut(**said))
    assert ("contradiction", pointer) in [(fault.code, fault.pointer) for fault in refused.value.faults]


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
    assert {part: each["kind"] for part, each in found.items() if part not in ("deflection", "block-shear")} == dict.fromkeys(
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
