"""The drawing of a frame: to scale, every piece shown, what was found numbered where it stands, and no words on other words."""

import itertools
import json
import math
from typing import Any
from xml.etree import ElementTree

import pytest

from service.formats.drawing import Drawing, Piece, drawing
from service.formats.dressing import FORMATS
from service.formats.placing import CROWDED, Sheet, labelled, named, spots
from service.formats.svg import figure, words_on

SOURCE = "designs/t 04,ü.json"
Report = dict[str, Any]
SVG = "{http://www.w3.org/2000/svg}"


def test_a_drawing_shows_every_piece_and_numbers_what_stands_against_it(reports: dict[str, Report], name: str) -> None:
    report = reports[name]
    root = ElementTree.fromstring(FORMATS["svg"].render(report, SOURCE))
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= {
        "svg", "g", "rect", "title", "polyline", "line", "path", "circle", "text",
    }  # fmt: skip
    assert not {
        attribute for element in root.iter() for attribute in element.attrib if attribute in ("style", "href") or attribute.startswith("on")
    }
    words = [element.text or "" for element in root.iter(f"{SVG}text")]
    assert report["verdict"].upper() in words
    titles = [element.text or "" for element in root.iter(f"{SVG}title")]
    for member in report.get("frame", {}).get("members", ()):
        assert any(title.startswith(f"{member['id']}: ") for title in titles)


def test_a_piece_looks_like_the_worst_that_was_found_of_it(reports: dict[str, Report]) -> None:
    report = reports["two-reasons-governing"]
    drawn = drawing(report)
    assert drawn
    failing = {finding["where"]["member"] for finding in report["findings"] if finding["kind"] == "fail" and finding["level"] == "error"}
    assert {piece.id for piece in drawn.pieces if piece.worst == "fail"} == failing
    assert {mark.number for mark in drawn.marks} == set(range(1, len(drawn.told) + 1))


def test_what_is_said_the_same_of_several_has_one_number_and_stands_at_each(reports: dict[str, Report]) -> None:
    drawn = drawing(reports["plated-fink-governing"])
    assert drawn
    (number,) = (at for at, same in enumerate(drawn.told, 1) if same[0]["rule"] == "engine/invented-values")
    joints = {each["joint"]: each["node"] for each in reports["plated-fink-governing"]["quantities"]["joints"]}
    assert {finding["where"]["joint"] for finding in drawn.told[number - 1]} == set(joints)
    assert {mark.at for mark in drawn.marks if mark.number == number} == {dict(drawn.nodes)[node] for node in joints.values()}
    words = [element.text or "" for element in ElementTree.fromstring(FORMATS["svg"].render(reports["plated-fink-governing"])).iter()]
    assert sum(each.startswith("The same: joint") for each in words) == len(drawn.told)


def test_no_words_hide_other_words(reports: dict[str, Report], name: str) -> None:
    """Names of pieces and numbers of what was found lie free of each other; a node's name may be touched at its edge where all is full."""
    drawn = drawing(reports[name])
    if drawn is None:
        return
    sheet = Sheet(drawn)
    labels, names, found = list(labelled(drawn, sheet, words_on)), list(named(drawn, sheet)), list(spots(drawn.marks, sheet))
    assert len(sheet.taken) == len(drawn.supports) + len(labels) + len(names) + len(found)
    free = {*range(len(drawn.supports), len(drawn.supports) + len(labels)), *range(len(sheet.taken) - len(found), len(sheet.taken))}
    for (i, one), (j, other) in itertools.combinations(enumerate(sheet.taken.tolist()), 2):
        shared = max(min(one[2], other[2]) - max(one[0], other[0]), 0) * max(min(one[3], other[3]) - max(one[1], other[1]), 0)
        smaller = min((box[2] - box[0]) * (box[3] - box[1]) for box in (one, other))
        assert shared <= (0.12 if {i, j} <= free else 0.4) * smaller, (i, j)


def test_words_leave_the_sheet_at_no_edge(reports: dict[str, Report], name: str) -> None:
    drawn = drawing(reports[name])
    if drawn is None:
        return
    sheet = Sheet(drawn)
    set_down = [*labelled(drawn, sheet, words_on), *named(drawn, sheet), *spots(drawn.marks, sheet)]
    assert set_down
    assert sheet.taken.min() >= 0.0
    assert sheet.taken[:, 2].max() <= drawn.wide
    assert sheet.taken[:, 3].max() <= drawn.high


def test_a_full_sheet_takes_the_first_place_of_everything() -> None:
    ends = [(10.0 * number, 100.0) for number in range(CROWDED + 2)]
    pieces = tuple(Piece(f"M{at}", (a, b), 3.0, "pass", None) for at, (a, b) in enumerate(itertools.pairwise(ends)))
    sheet = Sheet(Drawing(5000.0, 200.0, pieces, (), (), (), ()))
    assert [at for _, _, at, _ in labelled(Drawing(5000.0, 200.0, pieces, (), (), (), ()), sheet, words_on)] == [
        ((a[0] + b[0]) / 2, 100.0) for a, b in itertools.pairwise(ends)
    ]


def test_a_drawing_is_to_scale(reports: dict[str, Report]) -> None:
    drawn = drawing(reports["fink-governing"])
    assert drawn
    nodes, given = dict(drawn.nodes), {node["id"]: node for node in reports["fink-governing"]["frame"]["nodes"]}
    scales = {
        round(math.dist(nodes[a], nodes[b]) / math.dist(*[(given[each]["x_mm"], given[each]["y_mm"]) for each in (a, b)]), 9)
        for a, b in itertools.combinations(nodes, 2)
    }
    assert len(scales) == 1
    assert all(0 <= x <= drawn.wide and 0 <= y <= drawn.high for x, y in nodes.values())
    assert all((nodes[a][1] < nodes[b][1]) == (given[a]["y_mm"] > given[b]["y_mm"]) for a, b in itertools.combinations(nodes, 2))


def test_a_shallow_frame_is_drawn_higher_than_it_is_and_says_so(reports: dict[str, Report]) -> None:
    report = reports["open-web-joist-governing"]
    drawn = drawing(report)
    assert drawn
    nodes, given = dict(drawn.nodes), {node["id"]: node for node in report["frame"]["nodes"]}
    across = (nodes["T8"][0] - nodes["T1"][0]) / (given["T8"]["x_mm"] - given["T1"]["x_mm"])
    upwards = (nodes["B1"][1] - nodes["T1"][1]) / (given["T1"]["y_mm"] - given["B1"]["y_mm"])
    assert upwards == pytest.approx(drawn.stretched * across)
    words = [element.text or "" for element in ElementTree.fromstring(FORMATS["svg"].render(report)).iter(f"{SVG}text")]
    assert f"Drawn {drawn.stretched} times higher than it is." in words
    assert drawn.stretched == 3
    usual = [drawing(reports[f"{name}-governing"]) for name in ("fink", "solid-joist")]
    assert [each.stretched for each in usual if each] == [1, 1]


def test_a_finding_stands_at_its_share_of_a_piece_that_is_drawn_higher(reports: dict[str, Report]) -> None:
    report = json.loads(json.dumps(reports["open-web-joist-governing"]))
    ends = {node["id"]: (node["x_mm"], node["y_mm"]) for node in report["frame"]["nodes"]}
    web = next(each for each in report["frame"]["members"] if each["id"] == "W1")
    half = math.dist(ends[web["nodes"][0]], ends[web["nodes"][1]]) / 2
    finding = {
        "id": "x",
        "kind": "fail",
        "level": "error",
        "rule": "r/s",
        "title": "t",
        "message": "m",
        "where": {"member": "W1", "at_mm": half},
    }
    drawn = drawing(report | {"findings": [finding]})
    assert drawn
    (mark,) = drawn.marks
    a, b = (dict(drawn.nodes)[name] for name in web["nodes"])
    assert mark.at == pytest.approx(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))


def test_whoever_builds_sees_the_names_of_pieces_and_of_nodes_that_are_spoken_of(reports: dict[str, Report]) -> None:
    report = json.loads(json.dumps(reports["fink-governing"]))
    assert words_in(figure(report, plain=True)) == {*(each["id"] for each in report["frame"]["members"]), "S1", "S2"}
    report["bracing"]["rows"].append({"item": "binder not listed", "where": "TC1: at nodes B, C", "status": "not listed"})
    assert {"B", "C"} < words_in(figure(report, plain=True))
    assert "D" not in words_in(figure(report, plain=True))


def words_in(drawn: bytes | None) -> set[str]:
    return {element.text or "" for element in ElementTree.fromstring(drawn or b"").iter() if element.tag.endswith("text")}
