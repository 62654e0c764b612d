"""Braces anchored by nails, screws or bolts: what they carry by hand, what is asked for, what is refused, and how a diagonal moves."""

from __future__ import annotations

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rules.subject.faults import DesignRefused

DECLARED = {"kn": 4.0, "stiffness_kn_per_mm": 2.0, "basis": "design", "document": "sheet 4"}
NAILS = {
    "kind": "nail", "count": 4, "diameter_mm": 3.35, "length_mm": 65, "form": "round", "f_u_mpa": 600, "head_mm": 7.5, "pulled": "across",
    "in_row": 2, "spacing_mm": 35, "row_spacing_mm": 40, "end_mm": 55, "edge_mm": 25, "edge_to_farthest_mm": 40, "shear_beside_kn": 0.5,
}  # fmt: skip
PLATE = {"section": {"b_mm": 50, "h_mm": 100}, "grade": "C16"}
CROSSING = {**NAILS, "count": 2, "in_row": 1}
DIAGONAL = {"kind": "diagonal", "rows": 1, "angle_deg": 45}


@pytest.fixture
def strut(bar):
    """A strut of 2 m of C24 that the snow presses with 6 kN, held at mid-length by a board of C16, one of ten: F_d = 100 N, 1 kN collected."""

    def make(anchor=None, *more, push=6.0, **said):
        item = {
            "id": "line", "kind": "binder", "members": ["M"], "edge": "top", "spacing_mm": 1000, "section": {"b_mm": 100, "h_mm": 25}, "grade": "C16",
            "fixing_capacity": DECLARED, "anchored_to": "wall plate", **said,
        }  # fmt: skip
        item |= {"anchor": {"fasteners": NAILS, **PLATE, **(anchor or {})}} if anchor is not False else {}
        pushed = [{"id": "snow", "nature": "snow", "duration": "short", "loads": [{"node": "B", "y_kn": -push / 1.5}]}]
        restraint = {"in_plane_mm": 2000, "out_of_plane_mm": 1000}
        frame = bar(2000, {"b_mm": 47, "h_mm": 97}, upright=True, restraint=restraint, component_type="trussed-rafter", actions=pushed)
        return frame | {"bracing": [item, *more], "spacing_mm": 600, "count": 10}

    return make


@pytest.fixture
def parts(checked):
    def run(frame, rule="anchor-fasteners", element="line"):
        findings = [f for f in checked(frame)["findings"] if f["rule"] == f"eurocode-timber/{rule}"]
        return {f["part"]: f for f in findings if f["where"]["pointer"] == f"/bracing/{[i['id'] for i in frame['bracing']].index(element)}"}

    return run


def kinds(found):
    return {part: each["kind"] for part, each in found.items()}


def test_four_nails_into_a_wall_plate_by_hand(strut, parts):
    """The rule's first case: 744.4 N a nail, 2 lines of 2^0.867, k_mod 0.9: 1.880 kN against 10 x 100 N."""
    found = parts(strut())
    assert kinds(found) == {
        "strength": "pass", "splitting": "pass", "block-shear": "notApplicable", "placing": "pass", "strap": "notApplicable", "deflection": "notApplicable",
    }  # fmt: skip
    assert found["strength"]["demand"]["value"] == pytest.approx(1.0)
    assert found["strength"]["limit"]["value"] == pytest.approx(1.8795842, rel=1e-6)
    assert parts(strut(), "bracing")["anchorage"]["kind"] == "notApplicable"


def test_two_nails_do_not_hold_what_ten_trusses_collect(strut, parts):
    few = parts(strut({"fasteners": {**NAILS, "count": 2}}))["strength"]
    assert (few["kind"], few["utilisation"]) == ("fail", pytest.approx(2 / 1.8795842, rel=1e-6))
    assert parts(strut({"fasteners": {**NAILS, "count": 2}}, anchors=2))["strength"]["kind"] == "pass", "five trusses at each end"


def test_nails_into_a_thin_board_find_too_little_timber(strut, parts):
    """8 d = 26.8 mm of smooth nails where the diagonal is 25 mm thick: that other item's section and grade stand where none are stated."""
    diagonal = {
        "id": "D1", **DIAGONAL, "members": ["M"], "section": {"b_mm": 100, "h_mm": 25}, "grade": "C24", "fixing_capacity": DECLARED,
        "anchored_to": "wall plate", "anchor_capacity": DECLARED,
    }  # fmt: skip
    found = parts(strut({"section": None, "grade": None}, diagonal, anchored_to="D1"))
    assert found["placing"]["kind"] == "fail"
    steps = {step["symbol"]: step["value"] for step in found["placing"]["working"]}
    assert (steps["t"], steps["t_min / t_2"]) == (25, pytest.approx(26.8 / 25))
    assert next(step for step in found["strength"]["working"] if step["symbol"] == "ρ_k,2")["value"] == 350


def test_a_pull_along_the_grain_splits_nothing(strut, parts):
    assert parts(strut({"grain": "along", "fasteners": {**NAILS, "shear_beside_kn": None}}))["splitting"]["kind"] == "notApplicable"
    assert parts(strut({"grain": "across", "fasteners": {**NAILS, "edge_to_farthest_mm": 2}}))["splitting"]["kind"] == "fail"


MISSING = {
    "the timber": ({"section": None}, "strength", "thickness of the timber that the points end in"),
    "its grade": ({"grade": None}, "strength", "density of the timber that the points end in"),
    "which way they are pulled": ({"fasteners": {**NAILS, "pulled": None}}, "strength", "(bracing.anchor.fasteners.pulled)"),
    "the wire": ({"fasteners": {**NAILS, "f_u_mpa": None}}, "strength", "tensile strength of their wire"),
    "the shear beside": ({"fasteners": {**NAILS, "shear_beside_kn": None}}, "splitting", "shear_beside_kn"),
    "the edge": ({"fasteners": {**NAILS, "edge_mm": None}}, "placing", "to an edge"),
    "figures nobody made up": ({"fasteners": {**NAILS, "invented": True}}, "strength", "invented"),
    "the strap": ({"fasteners": {**NAILS, "plate_mm": 1.5}}, "strap", "bracing.anchor.rest_capacity"),
}


@pytest.mark.parametrize(("said", "part", "question"), MISSING.values(), ids=MISSING)
def test_what_is_missing_is_asked_for_and_never_passes(strut, parts, said, part, question):
    finding = parts(strut(said))[part]
    assert finding["kind"] == "open"
    assert question in finding["message"]


@pytest.mark.parametrize(("kn", "kind"), [(1.01, "pass"), (0.99, "fail")])
def test_a_strap_carries_what_is_declared_of_it(strut, parts, kn, kind):
    strap = {"fasteners": {**NAILS, "length_mm": 40, "plate_mm": 1.5}, "rest_capacity": {**DECLARED, "kn": kn}}
    found = parts(strut(strap))
    assert (found["strap"]["kind"], found["strength"]["kind"]) == (kind, "pass")


@pytest.mark.parametrize(
    "fixed", [{"fixing_capacity": DECLARED}, {"fixing_capacity": None, "fasteners": CROSSING}], ids=["declared", "nailed"]
)
def test_a_diagonal_moves_as_if_its_slip_had_been_declared(strut, parts, fixed):
    """K_ser of four nails, 4 x 370^1.5 x 3.35^0.8/30 N/mm, stated as fasteners or as a stiffness: Q_d/(2 cos θ)/cos θ times the same give."""
    by_nails = parts(strut(**DIAGONAL, **fixed))["deflection"]
    slip = 4 * 370**1.5 * 3.35**0.8 / 30
    declared = strut(False, anchor_capacity={**DECLARED, "stiffness_kn_per_mm": slip / 1000}, **DIAGONAL, **fixed)
    alike = parts(declared, "brace-fasteners" if "fasteners" in fixed else "bracing")["deflection"]
    assert by_nails["kind"] == alike["kind"] == "pass"
    assert by_nails["demand"]["value"] == pytest.approx(alike["demand"]["value"], rel=1e-9)
    at_pieces = slip / 2 if "fasteners" in fixed else 2000.0
    if "fasteners" in fixed:  # into C24, of 420 kg/m³
        at_pieces *= (420 / 370) ** 0.75
    give = 2000 * math.sqrt(2) / (8000 * 2500) + 1.5 / at_pieces + 1.5 / slip
    assert by_nails["demand"]["value"] == pytest.approx(10 * 6000 / 50 * give, rel=1e-3)
    other = {part: f["kind"] for rule in ("bracing", "brace-fasteners") for part, f in parts(strut(**DIAGONAL, **fixed), rule).items()}
    assert other["deflection"] == "notApplicable", "said once"


def test_a_strap_in_a_diagonal_must_say_how_far_it_gives(strut, parts):
    rest = {**DECLARED, "stiffness_kn_per_mm": None}
    found = parts(strut({"fasteners": {**NAILS, "plate_mm": 1.5}, "rest_capacity": rest}, **DIAGONAL))["deflection"]
    assert found["kind"] == "open"
    assert "stiffness_kn_per_mm" in found["message"]


REFUSED = {
    "/bracing/0/anchor_capacity": ("contradiction", {}, {"anchor_capacity": DECLARED}),
    "/bracing/0/anchor/rest_capacity": ("contradiction", {"rest_capacity": DECLARED}, {}),
    "/bracing/0/anchor/fasteners/in_row": ("contradiction", {"fasteners": {**NAILS, "in_row": 5}}, {}),
    "/bracing/0/anchor/grade": ("unknown-grade", {"grade": "C999"}, {}),
}


@pytest.mark.parametrize("pointer", REFUSED)
def test_what_cannot_be_is_refused(strut, checked, pointer):
    code, anchor, said = REFUSED[pointer]
    with pytest.raises(DesignRefused) as refused:
        checked(strut(anchor, **said))
    assert (code, pointer) in [(fault.code, fault.pointer) for fault in refused.value.faults]


def test_invented_fasteners_mark_the_report(strut, checked):
    assert checked(strut({"fasteners": {**NAILS, "invented": True}}))["cautions"][0].startswith("NOT FOR CONSTRUCTION")


def test_the_schedule_names_the_nails_and_what_takes_them(strut, checked):
    rows = {row["item"]: row for row in checked(strut())["bracing"]["rows"]}
    assert rows["line"]["anchored_to"] == "wall plate, by 4 nails 3.35 × 65 mm"
    diagonal = {"id": "D1", **DIAGONAL, "members": ["M"], "anchored_to": "wall plate"}
    rows = {row["item"]: row for row in checked(strut({}, diagonal, anchored_to="D1"))["bracing"]["rows"]}
    assert rows["line"]["anchored_to"] == "D1, by 4 nails 3.35 × 65 mm, and so wall plate"


def test_a_design_without_anchors_hears_nothing_of_them(strut, checked):
    report = checked(strut(False, anchor_capacity=DECLARED))
    assert "eurocode-timber/anchor-fasteners" not in {row["rule"] for row in report["coverage"]}


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(count=st.integers(2, 12), length=st.floats(55, 75), more=st.floats(1.0, 1.6), push=st.floats(1.0, 12.0))
def test_more_or_longer_nails_never_carry_less_and_more_push_never_uses_less(strut, parts, count, length, more, push):
    def found(force=push, **said):
        return parts(strut({"fasteners": {**NAILS, "count": count, "length_mm": length, **said}}, push=force))["strength"]

    plain = found()
    assert found(count=count + 2)["limit"]["value"] >= plain["limit"]["value"] * (1 - 1e-9)
    assert found(length_mm=length * more)["limit"]["value"] >= plain["limit"]["value"] * (1 - 1e-9)
    assert found(force=push * more)["utilisation"] >= plain["utilisation"] * (1 - 1e-9)


def test_one_nail_anchors_no_batten(strut, parts):
    """8.3.1.1(9): at its end a line of battens has no next crossing beside it."""
    one = {**NAILS, "count": 1, "in_row": 1}
    assert parts(strut({"fasteners": one}, kind="batten", spacing_mm=400))["placing"]["kind"] == "fail"


def test_what_is_taken_of_an_anchorage_is_told(strut, checked):
    """The way it pulls, and of another item of the bracing its section and grade; of battens that one nail a crossing does."""
    diagonal = {"id": "D1", **DIAGONAL, "members": ["M"], "section": {"b_mm": 100, "h_mm": 25}, "grade": "C24", "fixing_capacity": DECLARED,
                "anchored_to": "wall plate", "anchor_capacity": DECLARED}  # fmt: skip
    frame = strut({}, diagonal, kind="batten", spacing_mm=400, anchored_to="D1", fasteners={**NAILS, "count": 1, "in_row": 1})
    for name in ("fixing_capacity",):
        del frame["bracing"][0][name]
    for name in ("section", "grade"):
        del frame["bracing"][0]["anchor"][name]
    told = {each["pointer"]: each["value"] for each in checked(frame)["assumptions"]}
    taken = {"anchor/section": "D1", "anchor/grade": "D1", "anchor/grain": "across", "fasteners/count": 1}
    assert {f"/bracing/0/{name}": value for name, value in taken.items()}.items() <= told.items()
    stated = strut({"grain": "along"})
    assert not [each for each in checked(stated)["assumptions"] if "/anchor/" in each["pointer"]]


def test_under_steel_it_is_said_that_along_the_grain_counts_too(strut, checked):
    def because(fasteners):
        return next(
            each["because"] for each in checked(strut({"fasteners": fasteners}))["assumptions"] if each["pointer"].endswith("/anchor/grain")
        )

    assert because(NAILS).endswith("is fastened to.")
    assert because({**NAILS, "plate_mm": 2.0}).endswith("and, under steel, along it too.")
