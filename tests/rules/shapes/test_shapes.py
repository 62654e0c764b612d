"""Every trade shape: what it draws stands up, lies where trigonometry puts it, and can be written out; what is wrong with it is told."""

from __future__ import annotations

import datetime
import json
import math
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import solver
from rules.judge.checking import analyse
from rules.judge.geometry import geometry
from rules.library import load_library
from rules.shapes import expand, shape_faults
from rules.shapes.expanding import FORMS
from rules.subject import shape as subject
from rules.subject.faults import DesignRefused, Fault
from service.demo import read_design
from service.schemas import to_design
from service.schemas.loading import accepted
from service.schemas.writing import written_out

TRIANGLES = {"couple", "king-post", "fink", "fan", "howe", "mono", "scissor", "raised-tie", "open-web-joist"}
LEVEL_TIES = ("couple", "king-post", "queen-post", "fink", "fan", "howe", "attic")
DAY = datetime.date(2026, 11, 25)


def refused(document) -> dict[str, str]:
    """Pointer and code of every fault."""
    with pytest.raises(DesignRefused) as caught:
        to_design(document)
    return {fault.pointer: fault.code for fault in caught.value.faults}


def faults_of(document) -> tuple[Fault, ...]:
    """Every fault, none where the design can be drawn."""
    try:
        to_design(document)
    except DesignRefused as refusal:
        return refusal.faults
    return ()


def at(design) -> dict[str, tuple[float, float]]:
    return {node.id: (node.x_mm, node.y_mm) for node in design.nodes}


@pytest.mark.parametrize("form", subject.FORMS)
def test_every_form_is_drawn_stands_up_and_is_written_out_again(form, drawn_from):
    document = drawn_from(form)
    design = to_design(document)
    again = to_design(written_out(accepted(document)[0], design))
    assert (again.nodes, again.members, again.supports) == (design.nodes, design.members, design.supports)
    analysis = analyse(design, load_library(), as_of=DAY)
    assert analysis["response"]["balanced"]
    assert {note["pointer"] for note in analysis["assumptions"]} >= {"/nodes", "/members", "/supports"}


def test_the_list_of_forms_is_the_list_of_modules():
    assert set(subject.FORMS) == set(FORMS)


@pytest.mark.parametrize("form", subject.FORMS)
def test_it_is_made_of_triangles_or_it_is_not(form, drawn_from):
    design = to_design(drawn_from(form))
    measured = geometry(design)
    pieces = tuple(solver.Piece(tuple(measured.at[node] for node in member.nodes), ea=1.0, ei=1.0) for member in design.members)
    assert solver.fully_triangulated(solver.Frame(measured.xy, pieces, ())) == (form in TRIANGLES)


@pytest.mark.parametrize("form", [form for form in subject.FORMS if form != "mono"])
def test_it_is_its_own_mirror_image(form, drawn_from):
    places = at(to_design(drawn_from(form)))
    middle = (min(x for x, _ in places.values()) + max(x for x, _ in places.values())) / 2.0
    here = sorted((round(x, 2), round(y, 2)) for x, y in places.values())
    there = sorted((round(2.0 * middle - x, 2) + 0.0, round(y, 2)) for x, y in places.values())
    assert [pair for pair in zip(here, there, strict=True) if math.dist(*pair) > 0.05] == []


@pytest.mark.parametrize("form", LEVEL_TIES)
def test_undersides_meet_over_the_outer_edge_of_the_plate(form, drawn_from):
    """Measured square to each piece: half a depth from the centre lines to one point, which is the plate's outer edge."""
    document = drawn_from(form)
    design, pitch = to_design(document), math.radians(document["shape"]["pitch_deg"])
    assert [support.node for support in design.supports] == ["SL", "SR"]
    assert all(support.seat.offset_mm == (0.0, -60.0) and support.seat.member == "BC" for support in design.supports)
    edge = at(design)["SL"][0] - 50.0
    to_rafter = edge * math.sin(pitch) + 60.0 * math.cos(pitch)
    assert to_rafter == pytest.approx(72.5, abs=0.01)
    assert at(design)["E"][0] == pytest.approx(8400.0 + 2.0 * edge, abs=0.01)
    assert at(design)["L0"][0] == pytest.approx(edge - 450.0, abs=0.01)


def test_a_fink_is_the_one_the_demo_writes_out_by_hand(drawn_from):
    """Derived there to the millimetre in its README; overhangs are measured from the node there, from the plate here."""
    demo = at(to_design(json.loads(read_design("fink"))))
    drawn = at(to_design(drawn_from("fink", overhang_mm=490.7)))
    names = {"F1": "F", "F2": "G"}
    assert drawn.pop("SL") == pytest.approx((91.0, 0.0), abs=1.0)
    assert drawn.pop("SR") == pytest.approx((8482.0 - 91.0, 0.0), abs=1.0)
    for name, place in drawn.items():
        assert place == pytest.approx(demo[names.get(name, name)], abs=1.0), name


def test_an_open_web_joist_is_the_one_the_demo_writes_out_by_hand(drawn_from):
    by_hand = to_design(json.loads(read_design("open-web-joist")))
    drawn = to_design(drawn_from("open-web-joist"))
    assert at(drawn) == at(by_hand)
    assert {member.id: member.nodes for member in drawn.members} == {member.id: member.nodes for member in by_hand.members}


def test_a_scissor_rises_inside(drawn_from):
    places = at(to_design(drawn_from("scissor")))
    assert places["K"] == pytest.approx((4150.0, 4150.0 * math.tan(math.radians(17.5))), abs=0.001)
    assert places["C"][1] == pytest.approx(4150.0 * math.tan(math.radians(35.0)), abs=0.001)


def test_a_room_has_the_size_it_was_given(drawn_from):
    places = at(to_design(drawn_from("attic")))
    assert places["F2"][0] - places["F1"][0] == pytest.approx(4200.0, abs=0.01)
    assert places["B1"][0] == places["F1"][0]
    assert places["B2"][1] == pytest.approx(2500.0, abs=0.01)


def test_a_mono_pitch_stands_flush_on_both_plates(drawn_from):
    design = to_design(drawn_from("mono"))
    assert [support.node for support in design.supports] == ["SL", "E"], "1.5 mm from the post's centre line is at it"
    start, finish = at(design)["SL"][0] - 50.0, at(design)["E"][0] + 97.0 / 2.0
    assert finish - start == pytest.approx(4200.0, abs=0.01)
    deep = drawn_from("mono", plate_width_mm=50)
    assert to_design(deep).members[1].nodes[-2:] == ("E", "SR"), "a post wider than the plate"
    assert [node for node in at(design) if node == "R0"] == []


def test_a_shape_takes_the_place_of_a_frame_and_never_stands_beside_one(drawn_from):
    document = drawn_from("fink") | {"nodes": [{"id": "A", "x_mm": 0, "y_mm": 0}]}
    assert refused(document) == {"/nodes": "contradiction"}
    document = drawn_from("fink")
    document.pop("shape")
    assert refused(document) == dict.fromkeys(("/nodes", "/members", "/supports"), "required")


@pytest.mark.parametrize("form", subject.FORMS)
def test_everything_wrong_with_a_shape_is_told_at_once(form, drawn_from):
    known = FORMS[form]
    document = drawn_from(form, **dict.fromkeys(known.needs))
    strange = "panels" if form != "open-web-joist" else "pitch_deg"
    document["shape"] |= {strange: 8}
    document["shape"]["pieces"] = {"purlin": document["shape"]["pieces"].popitem()[1]}
    assert refused(document) == {
        **{f"/shape/{name}": "required" for name in known.needs},
        f"/shape/{strange}": "contradiction",
        "/shape/pieces/purlin": "contradiction",
        **{f"/shape/pieces/{role}": "required" for role in known.roles},
    }


@pytest.mark.parametrize(
    ("form", "spoilt", "pointer"),
    [
        ("attic", {"room_width_mm": 9000}, "/shape/room_width_mm"),
        ("attic", {"room_height_mm": 1500}, "/shape/room_height_mm"),
        ("attic", {"room_height_mm": 4300}, "/shape/room_height_mm"),
        ("scissor", {"ceiling_pitch_deg": 31}, "/shape/ceiling_pitch_deg"),
        ("raised-tie", {"tie_height_mm": 2900}, "/shape/tie_height_mm"),
        ("open-web-joist", {"depth_mm": 94}, "/shape/depth_mm"),
    ],
)
def test_dimensions_that_do_not_go_together(form, spoilt, pointer, drawn_from):
    assert refused(drawn_from(form, **spoilt)) == {pointer: "out-of-range"}


def test_what_is_wrong_with_a_drawn_frame_is_told_of_the_shape(drawn_from):
    document = drawn_from("fink")
    document["shape"]["pieces"]["web"]["grade"] = "C99"
    with pytest.raises(DesignRefused) as caught:
        analyse(to_design(document), load_library(), as_of=DAY)
    assert {fault.pointer for fault in caught.value.faults} == {"/shape/pieces/web/grade"}
    document = drawn_from("fink", plate_grade="oak")
    with pytest.raises(DesignRefused) as caught:
        analyse(to_design(document), load_library(), as_of=DAY)
    assert {fault.pointer for fault in caught.value.faults} == {"/shape/plate_grade"}


def test_a_section_by_its_properties_has_no_depth_to_draw_with(drawn_from):
    document = drawn_from("fink")
    document["shape"]["pieces"]["rafter"]["section"] = {"area_mm2": 1e4, "second_moment_mm4": 1e7, "modulus_mm3": 1e5}
    assert refused(document) == {"/shape/pieces/rafter": "unsuitable-section"}


def test_faults_of_other_parts_are_told_beside_those_of_the_shape(drawn_from):
    document = drawn_from("fink", pitch_deg=None)
    document["site"]["altitude_m"] = "90"
    assert refused(document) == {"/site/altitude_m": "wrong-type", "/shape/pitch_deg": "required"}


def test_a_design_without_a_shape_stays_as_it_is():
    design = to_design(json.loads(read_design("fink")))
    assert expand(design) is design
    assert list(shape_faults(design)) == []
    assert expand(replace(design, shape=None)) == design


@pytest.mark.parametrize("form", ["fink", "mono", "scissor", "raised-tie"])
def test_no_overhang_is_taken_and_said(form, drawn_from):
    design = to_design(drawn_from(form, overhang_mm=None))
    assert "L0" not in at(design)
    notes = analyse(design, load_library(), as_of=DAY)["assumptions"]
    assert [note["value"] for note in notes if note["pointer"] == "/shape/overhang_mm"] == [0]


def test_a_shape_that_contradicts_the_rest_is_told(drawn_from):
    assert refused(drawn_from("fink") | {"component_type": "solid-joist"}) == {"/component_type": "contradiction"}
    assert refused(drawn_from("solid-joist") | {"component_type": "trussed-rafter"}) == {"/component_type": "contradiction"}
    assert refused(drawn_from("fink") | {"roof": {"pitch_deg": 40}}) == {"/roof/pitch_deg": "contradiction"}
    assert to_design(drawn_from("fink") | {"roof": {"pitch_deg": 35.2}, "component_type": "other"}).nodes


def test_an_overhang_that_ends_at_the_heel_has_no_node_of_its_own(drawn_from):
    """The heel lies 40.71 mm outside the plate: 41.2 mm of overhang end half a millimetre beyond it."""
    assert "L0" not in at(to_design(drawn_from("fink", overhang_mm=41.2)))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_whatever_its_size_it_can_be_drawn_or_its_dimensions_are_told(data, drawn_from):
    form = data.draw(st.sampled_from(subject.FORMS))
    sizes = {
        "span_over_plates_mm": st.floats(1000, 15_000), "pitch_deg": st.floats(5, 70), "ceiling_pitch_deg": st.floats(2, 60),
        "overhang_mm": st.floats(0, 900), "plate_width_mm": st.floats(40, 200), "tie_height_mm": st.floats(50, 6000),
        "room_width_mm": st.floats(500, 12_000), "room_height_mm": st.floats(500, 6000), "clear_span_mm": st.floats(600, 9000),
        "bearing_mm": st.floats(40, 200), "depth_mm": st.floats(80, 500), "panels": st.integers(2, 20),
    }  # fmt: skip
    drawn = {name: data.draw(sizes[name]) for name in (*FORMS[form].needs, *FORMS[form].may) if name in sizes}
    found = faults_of(drawn_from(form, **drawn))
    assert {fault.code for fault in found} <= {"out-of-range"}, found
    assert all(fault.pointer.startswith("/shape/") for fault in found)
