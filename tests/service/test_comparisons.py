"""Comparisons over HTTP: every side as a check of its own would be, nothing guessed, every fault where the request says it."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from flask.testing import FlaskClient
from pages import Page
from patience import PATIENT

from rules.subject.design import WAIVED_KINDS
from service.demo import read_design
from service.http import create_app
from service.openapi.examples import SMALL_COMPARISON, SMALL_ROOF

FINK = json.loads(read_design("fink"))
VERMONT = {"country": "US", "subdivision": "US-VT", "district": None, "parish": None, "postcode": None, "snow_ground_edition": "ASCE 7-16"}
AMERICAN = {"name": "NDS", "site": VERMONT, "grades": {"C24": "DF-L No.2", "C16": "SPF No.1/No.2"}}
Document = dict[str, Any]


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app(PATIENT).test_client()


@pytest.fixture(scope="module")
def compared(client):
    def run(request: Document, query: str = "", status: int = 200) -> Document:
        answer = client.post(f"/v1/comparisons{query}", json=request)
        assert answer.status_code == status, answer.get_json()
        return answer.get_json()

    return run


def checked(client: FlaskClient, design: Document) -> Document:
    answer = client.post("/v1/checks?include=all&working=none&response=none", json=design)
    assert answer.status_code == 200, answer.get_json()
    return answer.get_json()


@pytest.fixture(scope="module")
def two(compared) -> Document:
    return compared({"design": FINK, "sides": [{"name": "Eurocode"}, AMERICAN]}, "?include=all")


def test_each_side_says_what_its_own_check_says(client, two):
    text = json.dumps(FINK).replace('"grade": "C24"', '"grade": "DF-L No.2"').replace('"grade": "C16"', '"grade": "SPF No.1/No.2"')
    renamed = json.loads(text)
    own = [checked(client, FINK), checked(client, {**renamed, "site": {**FINK["site"], **VERMONT}})]
    for index, report in enumerate(own):
        side = two["sides"][index]
        assert (side["verdict"], side["summary"]) == (report["verdict"], report["summary"])
        assert [pack["id"] for pack in side["packs"]] == [pack["id"] for pack in report["packs"]]
        assert side["receipt"] == {name: report["receipt"][name] for name in ("design", "subject", "packs", "as_of")}
        findings = {finding["id"]: finding for finding in report["findings"]}
        for row in two["rows"]:
            cell = row["cells"][index]
            if cell:
                finding = findings[cell["finding"]]
                assert cell["message"] == finding["message"]
                assert (cell["kind"], cell["utilisation"]) == (finding["kind"], finding["utilisation"])
                assert cell["rule"].partition("/")[2] == row["rule"]


def test_ways_of_analysing_lie_side_by_side(client, compared):
    """The caller's choice of analysis is a parameter, and a side may put its own codes over the design."""
    ways = ("general", "simplified")
    asked = {way: {"parameters": {"analysis": {"value": way, "reason": "to lay them side by side"}}} for way in ways}
    answer = compared({"design": FINK, "sides": [{"name": way, "codes": asked[way]} for way in ways]}, "?include=all")
    own = [checked(client, {**FINK, "codes": asked[way]}) for way in ways]
    assert [side["summary"] for side in answer["sides"]] == [report["summary"] for report in own]
    tie = next(row for row in answer["rows"] if row["rule"] == "bending-with-tension" and row["element"]["id"] == "BC")
    used = [cell["utilisation"] for cell in tie["cells"]]
    assert used[0] != used[1], "two ways, two numbers"
    assert 0.9 < used[1] / used[0] < 1.1


def test_traditions_are_named_and_each_element_has_its_most_used_check(two):
    assert [side["tradition"] for side in two["sides"]] == ["en", "us"]
    members = [row for row in two["elements"] if row["element"]["kind"] == "member"]
    assert [row["element"]["id"] for row in members] == [member["id"] for member in FINK["members"]]
    for row in members:
        for cell, pack in zip(row["cells"], ("eurocode", "nds"), strict=True):
            assert cell["rule"].startswith(pack)
            assert 0.0 < cell["utilisation"] < 1.0
    assert two["elements"] == sorted(two["elements"], key=lambda row: WAIVED_KINDS.index(row["element"]["kind"]))


def test_rules_that_ask_the_same_stand_in_one_row(two):
    both = {row["rule"] for row in two["rows"] if all(row["cells"])}
    assert {"tension", "compression", "bending", "bending-with-tension", "bending-with-compression", "shear", "bearing"} <= both


def test_the_grave_answer_stands_for_parts_that_differ(two):
    row = next(row for row in two["rows"] if row["rule"] == "bending-with-compression" and row["element"]["id"] == "TC1")
    assert row["part"] == ""
    assert row["cells"][1]["part"] in ("in-plane", "sideways")


def test_rows_in_which_every_side_passes_are_counted_not_shown(compared, two):
    short = compared({"design": FINK, "sides": [{"name": "Eurocode"}, AMERICAN]})
    assert len(short["rows"]) + short["left_out"] == len(two["rows"])
    shown = [json.dumps(row) for row in short["rows"]]
    assert shown == [json.dumps(row) for row in two["rows"] if json.dumps(row) in shown]
    assert two["left_out"] == 0


def test_cautions_name_what_no_comparison_can_know(compared, two):
    assert sum("Snow, wind and live loads of one code are not those of another" in each for each in two["cautions"]) == 1
    assert sum("No grade of one tradition is equal" in each for each in two["cautions"]) == 1
    alike = compared({"design": FINK, "sides": [{"name": "a"}, {"name": "b"}]})
    assert not [each for each in alike["cautions"] if "one code" in each or "No grade" in each]


def test_one_design_on_two_days_and_under_two_sets_of_packs(compared):
    packs = ["eurocode-basis", "eurocode-timber"]
    told = compared(
        {
            "design": FINK,
            "sides": [
                {"name": "today", "codes": {"as_of": "2026-11-25"}},
                {"name": "later", "codes": {"as_of": "2029-01-01"}},
                {"name": "recommended", "codes": {"packs": packs}},
            ],
        }
    )
    assert [side["receipt"]["as_of"] for side in told["sides"]][:2] == ["2026-11-25", "2029-01-01"]
    assert [side["tradition"] for side in told["sides"]] == ["en", None, "en"]
    assert [side["verdict"] for side in told["sides"]] == ["pass", "open", "fail"]
    rows = [row for row in told["rows"] if row["rule"] == "anchor-fasteners" and row["element"]["id"] == "rafter-diagonals"]
    assert "fail" in [row["cells"][2] and row["cells"][2]["kind"] for row in rows], (
        "the strict end of the recommended k_f,3 is 30, the kingdom's is 50"
    )
    assert [pack["id"] for pack in told["sides"][2]["packs"]] == ["eurocode-basis", "eurocode-timber", "grades-en"]
    assert next(row for row in told["rows"] if row["rule"] == "national-choices")["cells"][0] is None


def test_two_designs_of_different_pieces(compared):
    other = copy.deepcopy(SMALL_ROOF)
    told = compared({"sides": [{"name": "fink", "design": FINK}, {"name": "rafters", "design": other}]}, "?include=all")
    assert [side["reference"] for side in told["sides"]] == [FINK["reference"], other["reference"]]
    lonely = {row["element"]["id"] for row in told["rows"] if row["cells"][0] is None}
    assert {"R1", "R2", "T"} <= lonely


def faults(answer: Document) -> list[tuple[str, str]]:
    return [(each["pointer"], each["code"]) for each in answer["errors"]]


@pytest.mark.parametrize(
    ("request_", "expected"),
    [
        ({"design": SMALL_ROOF}, [("/sides", "required")]),
        ({"design": None, "sides": [{"name": "a", "design": SMALL_ROOF}, {"name": "b", "design": None}]}, [("/sides/1/design", "required")]),
        ({"design": SMALL_ROOF, "sides": [{"name": "a"}]}, [("/sides", "wrong-count")]),
        ({"sides": [{"name": "a"}, {"name": "b", "design": SMALL_ROOF}]}, [("/sides/0/design", "required")]),
        ({"design": SMALL_ROOF, "sides": [{"name": "a"}, {"name": "a"}]}, [("/sides/1/name", "duplicate-id")]),
        ({"design": SMALL_ROOF, "sides": [{"name": "a"}, {"name": "b", "grade": {}}]}, [("/sides/1/grade", "unknown-field")]),
        ({"design": SMALL_ROOF, "sides": [{"name": "a"}, {"name": "b", "grades": {"C99": "C24"}}]}, [("/sides/1/grades/C99", "dangling-id")]),
        ({"design": SMALL_ROOF, "sides": [{"name": "a"}, {"name": "b", "grades": {"C24": "Oak"}}]}, [("/sides/1/grades/C24", "unknown-grade")]),
        (
            {"design": SMALL_ROOF, "sides": [{"name": "a"}, {"name": "b", "site": VERMONT}]},
            [*((f"/design/members/{i}/grade", "unknown-grade") for i in range(3)), *((f"/design/supports/{i}/seat/grade", "unknown-grade") for i in range(2))],
        ),
        ({"design": SMALL_ROOF, "sides": [{"name": "a"}, {"name": "b", "codes": {"packs": ["oak"]}}]}, [("/sides/1/codes/packs/0", "unknown-pack")]),
        ({"design": SMALL_ROOF, "sides": [{"name": "a"}, {"name": "b", "site": {"country": "us"}}]}, [("/sides/1/site/country", "wrong-form")]),
        ({"design": SMALL_ROOF, "sides": [{"name": "a"}, {"name": "b", "design": {**SMALL_ROOF, "members": []}}]}, None),
    ],
)  # fmt: skip
def test_every_fault_is_told_where_the_request_says_it(compared, request_, expected):
    answer = compared(request_, status=422)
    assert answer["type"] == "/problems/comparison-refused"
    if expected is None:
        assert all(pointer.startswith("/sides/1/design") for pointer, _ in faults(answer))
        return
    assert faults(answer) == expected
    assert all(each["hint"] for each in answer["errors"] if each["code"] in ("unknown-grade", "dangling-id", "duplicate-id"))


def test_faults_of_all_sides_come_at_once_and_name_their_side(compared):
    answer = compared(
        {"design": SMALL_ROOF, "sides": [{"name": "x", "grades": {"C24": "Oak"}}, {"name": "y", "grades": {"C24": "Ash"}}]}, status=422
    )
    assert [each["detail"][:8] for each in answer["errors"]] == ["Side 'x'", "Side 'y'"]


def test_the_grades_of_seats_are_renamed_too(compared):
    told = compared(SMALL_COMPARISON[2], "?include=all")
    seats = [row for row in told["rows"] if row["rule"] == "bearing" and row["part"] == "seat"]
    assert len(seats) == 2
    assert all(row["cells"][1]["utilisation"] for row in seats)


def test_the_same_request_gives_the_same_bytes(client):
    first, second = (client.post("/v1/comparisons", json=SMALL_COMPARISON[2]).data for _ in range(2))
    assert first == second
    assert json.loads(first)["receipt"]["report"].startswith("sha256:")


@pytest.mark.parametrize("media_type", ["text/plain", "text/markdown", "text/html"])
def test_people_can_read_it(client, media_type):
    request = copy.deepcopy(SMALL_COMPARISON[2])
    request["sides"][1]["name"] = "NDS <b>|x|</b>"
    answer = client.post("/v1/comparisons", json=request, headers={"Accept": media_type})
    assert answer.status_code == 200
    assert answer.mimetype == media_type
    text = answer.get_data(as_text=True)
    for word in ("Eurocode", "bending-with-compression", "0.35", "Snow, wind and live loads of one code"):
        assert word in " ".join(text.split()).replace("\\", "")
    if media_type == "text/html":
        page = Page(text)
        assert page.open == []
        assert "NDS <b>|x|</b>" in page.text
        assert "<b>" not in text
        assert "style-src 'sha256-" in answer.headers["Content-Security-Policy"]
    if media_type == "text/plain":
        assert max(map(len, text.splitlines())) <= 100
    if media_type == "text/markdown":
        assert "<b>" not in text
        tables = [line for line in text.splitlines() if line.startswith("|")]
        assert {line.replace("\\|", "").count("|") for line in tables} <= {4, 5, 7}
