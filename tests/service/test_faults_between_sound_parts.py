"""A document its schema refuses is looked through all the same: its sound parts are held against each other."""

from typing import Any

import pytest

from rules.subject.faults import DesignRefused
from service.schemas import to_design

Document = dict[str, Any]


def told(document: Document) -> list[tuple[str, str]]:
    with pytest.raises(DesignRefused) as refusal:
        to_design(document)
    return [(fault.pointer, fault.code) for fault in refusal.value.faults]


def test_faults_of_fields_come_first_then_those_between_sound_parts(roof: Document) -> None:
    roof["nodes"][1]["x_mm"] = "2000"
    roof["supports"][1]["node"] = "Z"
    roof["actions"][1]["loads"][0]["member"] = "R9"
    assert told(roof) == [
        ("/nodes/1/x_mm", "wrong-type"),
        ("/supports/1/node", "dangling-id"),
        ("/actions/1/loads/0/member", "dangling-id"),
    ]


def test_pointers_are_into_the_whole_document(roof: Document) -> None:
    roof["supports"].insert(0, {"id": "S0"})
    roof["supports"][2]["node"] = "Z"
    assert told(roof) == [("/supports/0/node", "required"), ("/supports/0/holds", "required"), ("/supports/2/node", "dangling-id")]


def test_a_reference_to_a_faulty_part_is_no_fault(roof: Document) -> None:
    roof["members"][0]["grade"] = None
    assert told(roof) == [("/members/0/grade", "required")]


def test_references_are_let_be_when_an_id_cannot_be_read(roof: Document) -> None:
    roof["nodes"][0]["id"] = 1
    roof["nodes"][1]["x_mm"] = roof["nodes"][2]["x_mm"]
    roof["nodes"][1]["y_mm"] = roof["nodes"][2]["y_mm"] + 0.5
    assert told(roof) == [("/nodes/0/id", "wrong-type"), ("/nodes/2", "coincident-nodes"), ("/members/1/nodes", "zero-length")]


def test_a_node_that_only_a_faulty_piece_uses_is_no_fault(roof: Document) -> None:
    roof["nodes"].append({"id": "D", "x_mm": 2000, "y_mm": 0})
    roof["members"].append({"id": "P", "role": "post", "nodes": ["D", "B"], "section": {"b_mm": 47}, "grade": "C16"})
    assert told(roof) == [("/members/3/section/h_mm", "required")]


def test_a_waiver_for_the_design_is_let_be_when_the_reference_is_missing(roof: Document) -> None:
    roof["waivers"] = [
        {"rule": "a/b", "element": {"kind": "design", "id": "X"}, "reason": "r", "approved_by": "a", "expires": "2027-01-01"}
    ]
    del roof["reference"]
    assert told(roof) == [("/reference", "required")]


def test_unknown_parts_hide_nothing(roof: Document) -> None:
    roof["scantlings"], roof["supports"][0]["node"] = {}, "Z"
    assert told(roof) == [("/scantlings", "unknown-field"), ("/supports/0/node", "dangling-id")]


@pytest.mark.parametrize("part", ["nodes", "members", "supports"])
def test_without_a_frame_nothing_more_is_said(roof: Document, part: str) -> None:
    roof[part] = "none"
    roof["actions"][0]["loads"][0]["member"] = "R9"
    assert told(roof) == [(f"/{part}", "wrong-type")]


def test_when_every_piece_is_faulty_nothing_is_made_up(roof: Document) -> None:
    for member in roof["members"]:
        member["plies"] = 0
    assert told(roof) == [(f"/members/{place}/plies", "out-of-range") for place in range(3)]
