"""The drawing of a frame: to scale, every piece shown, what was found numbered where it stands, and no words on other words."""

import itertools
import math
from typing import Any
from xml.etree import ElementTree

from service.formats.drawing import Drawing, Piece, drawing
from service.formats.dressing import FORMATS
from service.formats.placing import CROWDED, Sheet, labelled, named, spots
from service.formats.svg import words_on

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
