"""The bracing schedule: what is given, what is missing and how much of it, and what others see to; never more than was found."""

from __future__ import annotations

import copy
import json
from pathlib import Path

import pytest

import service.demo.designs

DESIGNS = Path(service.demo.designs.__file__).parent


@pytest.fixture
def demo():
    def read(name):
        """A demo design, without the person who roves: that costs time and adds nothing here."""
        document = json.loads((DESIGNS / f"{name}.json").read_bytes())
        document["actions"] = [action for action in document["actions"] if "anywhere" not in json.dumps(action)]
        return document

    return read


@pytest.fixture
def rows(checked):
    def run(document):
        return checked(document)["bracing"]["rows"]

    return run


def of_status(rows, status):
    return [row for row in rows if row["status"] == status]


def test_the_fink_roof_is_braced_and_says_where(demo, checked):
    part = checked(demo("fink"))["bracing"]
    assert part["stated"] == "listed"
    given = {row["item"]: row for row in of_status(part["rows"], "given")}
    assert list(given) == [
        "battens",
        "rafter-diagonals",
        "rafter-binders",
        "tie-binders",
        "ceiling-battens",
        "tie-diagonals",
        "web-chevrons",
        "gable-straps",
    ]
    diagonals = given["rafter-diagonals"]
    assert diagonals["where"] == "4, on the lower edge of TC1, TC2, at 45° across them"
    assert diagonals["holds"] == "what battens, rafter-binders collect"
    assert diagonals["section"] == "100 × 25 mm C16"
    assert given["battens"]["anchored_to"] == "rafter-diagonals, and so wall plates"
    assert "TC1 (its upper edge every 345 mm)" in given["battens"]["holds"]
    assert [row["item"] for row in part["rows"][len(given) :]] == ["temporary bracing", "wind bracing"]
    assert part["rows"][-1]["status"] == "own design"


def test_the_forces_are_those_of_the_findings(demo, checked):
    report = checked(demo("fink"))
    diagonals = next(row for row in report["bracing"]["rows"] if row["item"] == "rafter-diagonals")
    demands = {
        finding["part"]: finding["demand"]["value"]
        for finding in report["findings"]
        if finding["rule"] in ("eurocode-timber/bracing", "eurocode-timber/anchor-fasteners")
        and finding["where"]["brace"] == "rafter-diagonals"
        and finding["demand"]
    }
    assert diagonals["each_kn"] == pytest.approx(demands["fixings"])
    assert diagonals["line_kn"] >= demands["strength"] * (1 - 1e-9)


def test_what_is_but_rounding_is_no_force(demo, rows):
    strongback = next(row for row in rows(demo("open-web-joist")) if row["item"] == "strongback")
    assert (strongback["each_kn"], strongback["line_kn"]) == (0.0, 0.0)


def test_a_web_that_buckles_is_told_how_many_braces_it_wants(demo, rows):
    """W1 of the two-reasons truss carries its push when held at mid-length, which the check of the mended truss confirms."""
    wanted = {row["holds"]: row for row in of_status(rows(demo("two-reasons")), "missing")}
    assert set(wanted) == {"W1", "W3", "W4"}
    assert "at mid-length" in wanted["W1"]["note"]


def test_the_mended_web_passes(demo, checked):
    mended = demo("two-reasons")
    web = next(member for member in mended["members"] if member["id"] == "W1")
    web["restraint_spacing"]["out_of_plane_mm"] = 1170
    binder = copy.deepcopy(next(item for item in mended["bracing"] if item["id"] == "tie-binders"))
    mended["bracing"].append(binder | {"id": "web-binders", "members": ["W1"], "edge": None, "spacing_mm": 1170})
    report = checked(mended)
    (compression,) = [f for f in report["findings"] if f["rule"] == "eurocode-timber/compression" and f["where"]["member"] == "W1"]
    assert compression["kind"] == "pass"
    assert "web-binders" in [row["item"] for row in of_status(report["bracing"]["rows"], "given")]


def test_what_is_relied_on_and_not_given_stands_there_with_what_the_piece_carries_without(demo, rows):
    document = demo("fink")
    document["bracing"] = [item for item in document["bracing"] if item["id"] != "ceiling-battens"]
    (missing,) = of_status(rows(document), "missing")
    assert missing["where"] == "BC: its lower edge every 400 mm"
    assert "without it BC carries" in missing["note"]
    assert missing["each_kn"] > 0


def test_a_line_of_joints_without_a_binder_is_listed(demo, rows):
    document = demo("fink")
    document["bracing"] = [item for item in document["bracing"] if item["id"] != "rafter-binders"]
    bare = [row["where"] for row in of_status(rows(document), "not listed")]
    assert bare == ["TC1: at nodes B, C", "TC2: at node D"]


@pytest.mark.parametrize(
    ("said", "words"), [(None, "not stated"), ("none", "there is none"), ({"none_because": "drawing 7"}, "left to others: drawing 7")]
)
def test_how_the_design_speaks_of_its_bracing(demo, checked, said, words):
    part = checked(demo("fink") | {"bracing": said})["bracing"]
    assert part["stated"] == words
    assert {row["status"] for row in part["rows"]} == {
        "not stated": {"open", "on site", "own design"},
        "there is none": {"missing", "not listed", "on site", "own design"},
        "left to others: drawing 7": {"on site", "own design"},
    }[words]


def test_an_item_that_is_not_whole_says_what_is_open(demo, rows):
    document = demo("fink")
    document["bracing"][1]["anchor"] = None
    (row,) = of_status(rows(document), "open")
    assert row["item"] == "rafter-diagonals"
    assert row["note"] == "anchorage, deflection"


def test_a_floor_lists_its_items_and_wants_no_wind_bracing(demo, rows):
    listed = rows(demo("open-web-joist"))
    assert [row["item"] for row in listed] == ["deck", "strongback", "ceiling-board"]
    assert {row["status"] for row in listed} == {"given"}


def test_without_a_code_in_force_the_schedule_still_stands(demo, checked):
    document = demo("fink") | {"codes": {"packs": ["workshop-practice"]}}
    part = checked(document)["bracing"]
    assert [row["item"] for row in part["rows"]][:2] == ["battens", "rafter-diagonals"]
    assert part["rows"][0]["each_kn"] is None


@pytest.mark.parametrize(("rows", "told"), [(0, None), (1, "1 row, at mid-span"), (2, "2 rows, evenly along the span")])
def test_strutting_that_the_floor_counts_on_is_told_to_whoever_fixes_it(demo, checked, rows, told):
    """The demo's joist lists its noggins; without them the strutting stated of the floor stands for itself, and the vibration counts on it."""
    joist = demo("solid-joist")
    assert "strutting" not in {row["item"] for row in checked(joist)["bracing"]["rows"]}
    joist["bracing"] = [each for each in joist["bracing"] if each["kind"] != "noggin"]
    joist["floor"] |= {"strutting_rows": rows, "noggin_rows": 0}
    report = checked(joist)
    rows_told = {row["item"]: row["where"] for row in report["bracing"]["rows"]}
    assert (rows_told.get("strutting") or "") == (f"{told}, between all joists" if told else "")
    (finding,) = (each for each in report["findings"] if each["rule"] == "uk-practice/strutting-of-solid-joists")
    assert finding["kind"] == ("pass" if rows else "informational"), "one row is enough for a span of 4 m"


def test_the_frame_tells_how_many_there_are_and_how_far_apart(demo, checked):
    frame = checked(demo("fink"))["frame"]
    assert (frame["component_type"], frame["count"], frame["spacing_mm"]) == ("trussed-rafter", 17, 600.0)


def test_joints_without_a_binder_are_told_once_a_piece_and_none_over_a_bearing(checked):
    """The shape gives each bearing a node of its own beside the heel A: the heel is over it all the same."""
    design = json.loads((DESIGNS / "by-shape.json").read_bytes())
    design["bracing"] = [each for each in design["bracing"] if each["id"] != "rafter-binders"]
    rows = [row["where"] for row in checked(design)["bracing"]["rows"] if row["status"] == "not listed"]
    assert rows == ["TC1: at nodes B, C", "TC2: at node D"]
