"""The page for the builder: every brace and bearing of the report, what is missing said as such, no leave to build that the report does not give."""

import json
from collections.abc import Callable
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from service.formats import bearings, bracing, builder
from service.formats.standing import shown
from service.units import in_us

Report = dict[str, Any]
Told = Callable[[str, bytes], str]


def squeezed(words: str) -> str:
    return "".join(words.split()).replace("-", "")


@pytest.mark.parametrize("form", builder.FORMS)
def test_every_brace_bearing_and_caution_is_told_with_the_receipt(reports: dict[str, Report], name: str, form: str, told: Told) -> None:
    report = reports[name]
    words = squeezed(told(form, builder.render_all([(report, "roofs/t 04.json")], form)).replace("&#39;", "'"))
    page = builder.page(report, None)
    assert {row[1] for row in page["bracing"]["rows"]} == {builder._brace(row)[1] for row in bracing.rows(report)}
    places = " ".join(row[2] for row in page["bracing"]["rows"])
    assert all(row["where"].partition(": ")[0] in places for row in bracing.rows(report))
    assert len(page["bearings"]["rows"]) == len(bearings.rows(report))
    for row in page["bracing"]["rows"] if form != "text" else ():
        assert all(squeezed(cell) in words for cell in row if cell != builder.BOX)
    for said in (
        *page["setting"],
        *page["said"],
        *page["confirm"],
        *report["cautions"],
        builder.ASK,
        page["may"],
        report["receipt"]["report"],
    ):
        assert squeezed(said) in words


@pytest.mark.parametrize(
    ("verdict", "may"), [("pass", True), ("review", False), ("open", False), ("fail", False), ("strange", False), (None, False)]
)
def test_only_a_pass_leaves_the_word_to_the_engineer(reports: dict[str, Report], verdict: str | None, may: bool) -> None:
    page = builder.page(reports["passing"] | {"verdict": verdict}, None)
    assert page["may"].startswith("Not to be built yet") != may
    assert "licensed engineer" in page["may"] or not may
    assert page["verdict"] == (verdict if verdict in ("pass", "review", "open", "fail") else "open")


def test_temporary_bracing_stands_first_and_what_is_missing_has_no_box_to_tick(reports: dict[str, Report]) -> None:
    rows = builder.page(reports["two-reasons-governing"], None)["bracing"]["rows"]
    assert rows[0][1] == "temporary bracing"
    assert [(row[0], row[2].partition(";")[0]) for row in rows if row[1].startswith("MISSING")] == [("", "W1, W3, W4: sideways")]
    assert rows[-1][:2] == ["", "wind bracing"]


def test_what_stands_against_a_brace_or_a_support_is_told(reports: dict[str, Report]) -> None:
    report = json.loads(json.dumps(reports["fink-governing"]))
    finding = {**shown(report)[0], "id": "x", "kind": "fail", "level": "error", "where": {"support": "S2"}, "message": "S2 is too short."}
    report["findings"].append(finding)
    assert said_of(report, "Not met: S2 is too short.")
    finding["where"] = {"member": "TC1"}
    assert not said_of(report, "Not met: S2 is too short.")


def said_of(report: Report, words: str) -> list[str]:
    return [each for each in builder.page(report, None)["said"] if each.startswith(words)]


HELD = "Which strap holds it down, and what does its maker declare? An engineer must check the wall below. (supports.held_down_by)"


def test_whoever_builds_is_not_told_of_load_cases_nor_asked_what_the_designer_is(reports: dict[str, Report]) -> None:
    report = json.loads(json.dumps(reports["fink-governing"]))
    cited = [{"document": "EN 1990", "clause": "6.4.2", "seen": "memory"}]
    finding = {"id": "x", "kind": "open", "level": "none", "rule": "eurocode-timber/holding-down", "citations": cited}
    for support, under in (("S1", "0.9 G + 1.5 W [blown on 8 to 9 mm]"), ("S2", "0.9 G + 1.5 V")):
        message = f"Support {support}: it is lifted with 1.60 kN, under {under}; a strap must hold it down. {HELD} Give kn."
        report["findings"].append({**finding, "where": {"support": support}, "message": message, "combination": under})
    held = "a strap must hold it down. An engineer must check the wall below. (the same: support S2) [EN 1990, 6.4.2: from memory]"
    assert said_of(report, "Open: ") == [f"Open: Support S1: it is lifted with 1.60 kN; {held}"]
    for finding in report["findings"][-2:]:
        finding["message"] = in_us(finding["message"])
    assert said_of(report, "Open: ") == [f"Open: Support S1: it is lifted with 359.7 lb; {held}"]


def test_what_stands_against_the_design_is_named(reports: dict[str, Report]) -> None:
    assert builder.page(reports["two-reasons-governing"], None)["may"].endswith("Ask the designer. It is about BC, W1, W4, W3.")
    report = json.loads(json.dumps(reports["open-web-joist-governing"]))
    assert builder.page(report, None)["may"].endswith(" and 8 more.")
    report["findings"] = [{"kind": "open", "level": "none", "waiver": None, "where": {"joint": "heel", "node": "A"}}]
    assert builder.page(report, None)["may"].endswith("It is about joint heel.")
    report["findings"] = []
    assert builder.page(report, None)["may"].endswith("Ask the designer.")


@pytest.mark.parametrize(
    ("count", "spacing", "told"),
    [
        (17, 600, "17 trussed rafters, 600 mm from one to the next."),
        (1, 600, "1 trussed rafter, 600 mm from its neighbours."),
        (2, None, "2 trussed rafters, how far apart, the design does not say: ask the designer."),
        (None, 450.5, "Trussed rafters, how many the design does not say, 450.5 mm from one to the next."),
    ],
)
def test_how_many_there_are_and_how_far_apart_stands_on_the_page(
    reports: dict[str, Report], told: str, count: int | None, spacing: float | None
) -> None:
    report = reports["fink-governing"]
    frame = report["frame"] | {"count": count, "spacing_mm": spacing}
    frame["members"] = [each | {"plies": 3 if each["id"].startswith("TC") else 1} for each in frame["members"]]
    assert builder.page(report | {"frame": frame}, None)["setting"] == [
        told,
        "Pieces: rafters TC1, TC2; ceiling tie BC; webs W1, W2, W3, W4.",
        "TC1, TC2: 3 plies side by side, joined as the designer says.",
    ]
    assert told in " ".join(builder.render_all([(report | {"frame": frame}, None)], "text").decode().split())
    older = {name: value for name, value in report["frame"].items() if name in ("nodes", "members", "supports")}
    assert builder.page(report | {"frame": older}, None)["setting"] == []


def test_the_same_of_two_supports_is_said_once(reports: dict[str, Report]) -> None:
    (nails,) = [each for each in builder.page(reports["fink-governing"], None)["said"] if "skew nails" in each]
    assert nails.endswith("(the same: support S2) [NHBC Standards, 7.2.6: read]")


def test_restraint_is_asked_for_where_no_brace_is_listed(reports: dict[str, Report]) -> None:
    report = reports["fink-governing"]
    left = report | {"bracing": {"stated": "left to others: drawing 7", "rows": []}}
    assert not [each for each in builder.page(report, None)["confirm"] if "held sideways" in each]
    assert [each for each in builder.page(left, None)["confirm"] if each.startswith("TC1, TC2: ") and "held sideways" in each]
    words = builder.render_all([(left, None)], "html").decode()
    assert "left to others: drawing 7" in words
    assert "No bracing is listed: ask the designer" in words


def test_a_usual_truss_takes_one_sheet(reports: dict[str, Report]) -> None:
    both = [(reports["fink-governing"], None), (reports["open-web-joist-governing"], None)]
    assert [len(PdfReader(BytesIO(builder.render_all(both[:count], "pdf"))).pages) for count in (1, 2)] == [1, 2]


def test_units_are_those_the_report_asks_for(reports: dict[str, Report], told: Told) -> None:
    report = reports["fink-governing"]
    american = report | {"receipt": report["receipt"] | {"options": {"units": "us"}}}
    for form in builder.FORMS:
        assert "13.58 in" in " ".join(told(form, builder.render_all([(american, None)], form)).split())
