"""Faults of single fields: each wrong value is refused where it stands, in plain words; nothing is bent until it fits."""

from collections.abc import Callable
from typing import Any

import pytest

from rules.subject.faults import DesignRefused, Fault
from service.schemas import to_design

Document = dict[str, Any]
Change = Callable[[Document], object]

ONE_FAULT: dict[str, tuple[Change, str, str]] = {
    "text for a number": (lambda d: d["nodes"][1].update(x_mm="12"), "/nodes/1/x_mm", "wrong-type"),
    "true for a number": (lambda d: d["nodes"][1].update(x_mm=True), "/nodes/1/x_mm", "wrong-type"),
    "a list for a number": (lambda d: d.update(spacing_mm=[600]), "/spacing_mm", "wrong-type"),
    "a number for a text": (lambda d: d.update(reference=7), "/reference", "wrong-type"),
    "a number for an id": (lambda d: d["members"][0].update(grade=24), "/members/0/grade", "wrong-type"),
    "true for a whole number": (lambda d: d["members"][0].update(plies=True), "/members/0/plies", "wrong-type"),
    "a fraction for a whole number": (lambda d: d["members"][0].update(plies=1.5), "/members/0/plies", "wrong-type"),
    "text for true": (lambda d: d.update(self_weight="false"), "/self_weight", "wrong-type"),
    "0 for false": (lambda d: d.update(self_weight=0), "/self_weight", "wrong-type"),
    "an object for a list": (lambda d: d.update(nodes={}), "/nodes", "wrong-type"),
    "a list for an object": (lambda d: d.update(site=[]), "/site", "wrong-type"),
    "null in a list": (lambda d: d["members"][0]["nodes"].__setitem__(0, None), "/members/0/nodes/0", "required"),
    "a number in a list of objects": (lambda d: d["supports"].append(3), "/supports/2", "wrong-type"),
    "a number for a day": (lambda d: d.update(codes={"as_of": 20261125}), "/codes/as_of", "wrong-type"),
    "no such day": (lambda d: d.update(codes={"as_of": "2026-02-30"}), "/codes/as_of", "not-a-day"),
    "a time for a day": (lambda d: d.update(codes={"as_of": "2026-11-25T00:00:00Z"}), "/codes/as_of", "not-a-day"),
    "a day in another order": (lambda d: d.update(codes={"as_of": "25.11.2026"}), "/codes/as_of", "not-a-day"),
    "a week for a day": (lambda d: d.update(codes={"as_of": "2026-W48-3"}), "/codes/as_of", "not-a-day"),
    "reference missing": (lambda d: d.pop("reference"), "/reference", "required"),
    "reference null": (lambda d: d.update(reference=None), "/reference", "required"),
    "format missing": (lambda d: d.pop("format"), "/format", "required"),
    "another format": (lambda d: d.update(format="birdsmouth-design-2"), "/format", "not-one-of"),
    "grade missing": (lambda d: d["members"][1].pop("grade"), "/members/1/grade", "required"),
    "slope or plan not said": (lambda d: d["actions"][0]["loads"][0].pop("along"), "/actions/0/loads/0/along", "required"),
    "direction not said": (lambda d: d["actions"][0]["loads"][0].pop("direction"), "/actions/0/loads/0/direction", "required"),
    "an unknown field": (lambda d: d.update(spacing=600), "/spacing", "unknown-field"),
    "an unknown field, deep": (lambda d: d["members"][0]["section"].update(t_mm=2), "/members/0/section/t_mm", "unknown-field"),
    "an unknown field of a strange name": (lambda d: d["site"].update({"a/b~c": 1}), "/site/a~1b~0c", "unknown-field"),
    "a field with an empty name": (lambda d: d["site"].update({"": 1}), "/site/", "unknown-field"),
    "a field called as the schema calls itself": (lambda d: d["site"].update(_schema=1), "/site/_schema", "unknown-field"),
    "an unknown role": (lambda d: d["members"][0].update(role="raftre"), "/members/0/role", "not-one-of"),
    "a word in capitals": (lambda d: d["members"][0].update(role="Rafter"), "/members/0/role", "not-one-of"),
    "an unknown component": (lambda d: d.update(component_type="truss"), "/component_type", "not-one-of"),
    "an unknown direction": (lambda d: d["supports"][0].update(holds=["z"]), "/supports/0/holds/0", "not-one-of"),
    "a section of no depth": (lambda d: d["members"][0]["section"].update(h_mm=0), "/members/0/section/h_mm", "out-of-range"),
    "a section thinner than paper": (lambda d: d["members"][0]["section"].update(b_mm=6e-278), "/members/0/section/b_mm", "out-of-range"),
    "a section of negative breadth": (lambda d: d["members"][0]["section"].update(b_mm=-47), "/members/0/section/b_mm", "out-of-range"),
    "a section as wide as a house": (lambda d: d["members"][0]["section"].update(b_mm=1e5), "/members/0/section/b_mm", "out-of-range"),
    "seven plies": (lambda d: d["members"][0].update(plies=7), "/members/0/plies", "out-of-range"),
    "no plies": (lambda d: d["members"][0].update(plies=0), "/members/0/plies", "out-of-range"),
    "a negative load": (lambda d: d["actions"][0]["loads"][0].update(line_kn_per_m=-0.4), "/actions/0/loads/0/line_kn_per_m", "out-of-range"),
    "service class 4": (lambda d: d["site"].update(service_class=4), "/site/service_class", "out-of-range"),
    "a place before the piece": (lambda d: d["actions"][0]["loads"][0].update(from_mm=-1), "/actions/0/loads/0/from_mm", "out-of-range"),
    "a node beyond the horizon": (lambda d: d["nodes"][0].update(x_mm=-1e9), "/nodes/0/x_mm", "out-of-range"),
    "a stiffness of none": (lambda d: d["members"][0].update(ends={"start": {"knm_per_rad": 0}}), "/members/0/ends/start/knm_per_rad", "out-of-range"),
    "an empty id": (lambda d: d["nodes"][0].update(id=""), "/nodes/0/id", "wrong-length"),
    "an id of 65 letters": (lambda d: d["nodes"][0].update(id="A" * 65), "/nodes/0/id", "wrong-length"),
    "an id with a line break": (lambda d: d["nodes"][0].update(id="A\n"), "/nodes/0/id", "wrong-form"),
    "an id with a space at its end": (lambda d: d["nodes"][0].update(id="A "), "/nodes/0/id", "wrong-form"),
    "an id that turns the writing round": (lambda d: d["nodes"][0].update(id="A\u202eB"), "/nodes/0/id", "wrong-form"),
    "an id with a letter nobody sees": (lambda d: d["nodes"][0].update(id="A\u200bB"), "/nodes/0/id", "wrong-form"),
    "a title with a bell": (lambda d: d.update(title="ding\u0007"), "/title", "wrong-form"),
    "a country in small letters": (lambda d: d["site"].update(country="gb", subdivision=None), "/site/country", "wrong-form"),
    "a pack with two editions": (lambda d: d.update(codes={"packs": ["a==1==2"]}), "/codes/packs/0", "wrong-form"),
    "a level for no rule": (lambda d: d.update(codes={"levels": {"shear": "note"}}), "/codes/levels/shear", "wrong-form"),
    "an unknown level": (lambda d: d.update(codes={"levels": {"a/b": "fatal"}}), "/codes/levels/a~1b", "not-one-of"),
    "a parameter without a reason": (lambda d: d.update(codes={"parameters": {"gamma_m": {"value": 1.2}}}), "/codes/parameters/gamma_m/reason", "required"),
    "a parameter that is a list": (lambda d: d.update(codes={"parameters": {"k": {"value": [1], "reason": "r"}}}), "/codes/parameters/k/value", "wrong-type"),
    "no packs, as a list": (lambda d: d.update(codes={"packs": []}), "/codes/packs", "wrong-count"),
    "a member of one node": (lambda d: d["members"][0].update(nodes=["A"]), "/members/0/nodes", "wrong-count"),
    "no members": (lambda d: d.update(members=[]), "/members", "wrong-count"),
    "an offset of three numbers": (lambda d: d["supports"][0]["seat"].update(offset_mm=[0, 1, 2]), "/supports/0/seat/offset_mm", "wrong-count"),
    "a number for an end": (lambda d: d["members"][0].update(ends={"start": 12.5}), "/members/0/ends/start", "wrong-type"),
    "an unknown end": (lambda d: d["members"][0].update(ends={"end": "fixed"}), "/members/0/ends/end", "not-one-of"),
    "an unknown restraint": (lambda d: d["members"][0]["restraint_spacing"].update(in_plane_mm="all"), "/members/0/restraint_spacing/in_plane_mm", "not-one-of"),
    "a restraint as text": (lambda d: d["members"][0]["restraint_spacing"].update(in_plane_mm="400"), "/members/0/restraint_spacing/in_plane_mm", "not-one-of"),
    "a treatment against nothing": (lambda d: d["members"][0].update(treatment={"standard": "BS 8417"}), "/members/0/treatment/against", "required"),
    "a section that says nothing": (lambda d: d["members"][0].update(section={}), "/members/0/section", "unclear-form"),
    "a section of nulls": (lambda d: d["members"][0].update(section={"b_mm": None}), "/members/0/section", "unclear-form"),
    "half a rectangle": (lambda d: d["members"][0].update(section={"b_mm": 47}), "/members/0/section/h_mm", "required"),
    "half a prism": (lambda d: d["members"][0].update(section={"area_mm2": 1, "modulus_mm3": 1}), "/members/0/section/second_moment_mm4", "required"),
    "a load that says nothing": (lambda d: d["actions"][0]["loads"].append({"member": "R1"}), "/actions/0/loads/2", "unclear-form"),
    "a load on a node and a member": (lambda d: d["actions"][0]["loads"].append({"node": "A", "member": "R1"}), "/actions/0/loads/2/member", "unknown-field"),
    "a line and a point at once": (lambda d: d["actions"][0]["loads"][0].update(point_kn=1), "/actions/0/loads/0/point_kn", "unknown-field"),
    "a free switch as a word": (lambda d: d["actions"][1].update(free="yes"), "/actions/1/free", "wrong-type"),
    "a shape": (lambda d: d.update(shape={"form": "finc"}), "/shape/form", "not-one-of"),
    "loading": (lambda d: d.update(loading={"layers": 1}), "/loading/layers", "wrong-type"),
    "a hanger of no support": (lambda d: d.update(hangers=[{"id": "H"}]), "/hangers/0/support", "required"),
    "a strength of an unknown basis": (
        lambda d: d["supports"][0].update(held_down_by={"capacity": {"kn": 4, "basis": "mean"}}), "/supports/0/held_down_by/capacity/basis", "not-one-of",
    ),
    "a parapet": (lambda d: d.update(roof={"parapets": 1}), "/roof/parapets", "wrong-type"),
    "joints in a word": (lambda d: d.update(joints="nailed"), "/joints", "wrong-type"),
    "a joint without a name": (lambda d: d.update(joints=[{"node": "A", "none_because": "bolted"}]), "/joints/0/id", "required"),
    "plates per dozen": (lambda d: d.update(plate_types=[{"id": "P", "thickness_mm": 1, "declared_per": "dozen"}]), "/plate_types/0/declared_per", "not-one-of"),
    "a plate of no thickness": (lambda d: d.update(plate_types=[{"id": "P", "thickness_mm": 0}]), "/plate_types/0/thickness_mm", "out-of-range"),
    "teeth that hold nothing": (
        lambda d: d.update(plate_types=[{"id": "P", "thickness_mm": 1, "f_a_0_0_k_mpa": 0}]), "/plate_types/0/f_a_0_0_k_mpa", "out-of-range",
    ),
    "nails of no rows": (
        lambda d: d["members"][0].update(ply_nailing={"diameter_mm": 3, "length_mm": 75, "spacing_mm": 300, "rows": 0}),
        "/members/0/ply_nailing/rows", "out-of-range",
    ),
    "bracing that is a number": (lambda d: d.update(bracing=3), "/bracing", "wrong-type"),
    "bracing in an unknown word": (lambda d: d.update(bracing="some"), "/bracing", "not-one-of"),
    "a waiver without an end": (
        lambda d: d.update(waivers=[{"rule": "a/b", "element": {"kind": "member", "id": "T"}, "reason": "r", "approved_by": "a"}]),
        "/waivers/0/expires", "required",
    ),
    "a waiver for everything": (
        lambda d: d.update(waivers=[{"rule": "*", "element": {"kind": "member", "id": "T"}, "reason": "r", "approved_by": "a", "expires": "2027-01-01"}]),
        "/waivers/0/rule", "wrong-form",
    ),
    "a baseline of other ids": (lambda d: d.update(baseline=["f3"]), "/baseline/0", "wrong-form"),
    "an unknown marking": (lambda d: d.update(materials={"marking": "lorry"}), "/materials/marking", "not-one-of"),
    "a strength of nothing": (
        lambda d: d.update(materials={"grades": [{"id": "X", "kind": "lvl", "tradition": "en", "f_m_k_mpa": 0}]}),
        "/materials/grades/0/f_m_k_mpa", "out-of-range",
    ),
}  # fmt: skip


def refused(document: object) -> tuple[Fault, ...]:
    with pytest.raises(DesignRefused) as refusal:
        to_design(document)
    return refusal.value.faults


@pytest.mark.parametrize(("change", "pointer", "code"), ONE_FAULT.values(), ids=ONE_FAULT)
def test_a_wrong_value_is_refused_where_it_stands(roof: Document, change: Change, pointer: str, code: str) -> None:
    change(roof)
    faults = refused(roof)
    assert [(fault.pointer, fault.code) for fault in faults] == [(pointer, code)]
    assert faults[0].detail.endswith(".")
    assert faults[0].hint.endswith((".", "?"))


@pytest.mark.parametrize("document", [None, True, 3, "a design", [], [{}]], ids=repr)
def test_what_is_no_object_is_refused(document: object) -> None:
    faults = refused(document)
    assert [(fault.pointer, fault.code) for fault in faults] == [("", "wrong-type")]


def test_an_empty_object_is_told_all_that_is_required() -> None:
    required = ["/format", "/reference", "/component_type", "/nodes", "/members", "/supports"]
    assert [(fault.pointer, fault.code) for fault in refused({})] == [(pointer, "required") for pointer in required]


def test_all_faults_are_told_at_once_and_in_the_order_of_the_document(roof: Document) -> None:
    roof["nodes"][2]["x_mm"] = "4000"
    roof["nodes"][0]["id"] = 1
    roof["members"][1]["section"] = {"b_mm": 0, "h_mm": True}
    roof["spacing"] = 600
    assert [fault.pointer for fault in refused(roof)] == [
        "/nodes/0/id", "/nodes/2/x_mm", "/members/1/section/b_mm", "/members/1/section/h_mm", "/spacing",
    ]  # fmt: skip


def test_a_number_in_quotes_is_told_how_to_be_written(roof: Document) -> None:
    roof["nodes"][1]["x_mm"] = "12"
    (fault,) = refused(roof)
    assert fault.found == "12"
    assert fault.allowed == "a number in mm"
    assert fault.detail == 'The text "12" stands where a number in mm is needed.'
    assert fault.hint == "Write 12 without quotation marks."


def test_a_misspelt_word_is_told_the_nearest_and_all(roof: Document) -> None:
    roof["members"][0]["role"] = "raftre"
    (fault,) = refused(roof)
    assert fault.hint == "Did you mean “rafter”?"
    assert isinstance(fault.allowed, list)
    assert "ceiling-tie" in fault.allowed


def test_a_misspelt_field_is_told_the_nearest_and_all(roof: Document) -> None:
    roof["spacing"] = 600
    (fault,) = refused(roof)
    assert fault.hint == "Did you mean “spacing_mm”?"
    assert isinstance(fault.allowed, list)
    assert "load_width_mm" in fault.allowed


def test_a_range_is_told_in_words_with_its_unit(roof: Document) -> None:
    roof["members"][0]["section"]["h_mm"] = 0
    (fault,) = refused(roof)
    assert fault.allowed == "at least 1, at most 10000 mm"


def test_what_is_found_is_shown_short(roof: Document) -> None:
    roof["title"] = "x" * 100_000
    roof["site"] = [[1, 2]] * 50
    long, wrong = refused(roof)
    assert isinstance(long.found, str)
    assert len(long.found) < 200
    assert wrong.found == "a list of 50"


def test_a_list_that_is_too_long_is_not_looked_into(roof: Document) -> None:
    roof["members"] = [{}] * 2001
    assert [(fault.pointer, fault.code) for fault in refused(roof)] == [("/members", "wrong-count")]
