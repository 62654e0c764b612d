"""Jobs over HTTP: every design as a check of its own would be, one verdict over all, and nothing that went wrong looks like a pass."""

from __future__ import annotations

import copy
import json
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient
from patience import PATIENT

from service.engine import shipped
from service.formats.job import of_reports
from service.http import create_app
from service.limits import LIMITS
from service.openapi.examples import FAULTY_ROOF, SMALL_JOB, SMALL_ROOF

Document = dict[str, Any]
DAY = {"as_of": "2026-11-25"}


def roof(reference: str, **changes: Any) -> Document:
    return {**copy.deepcopy(SMALL_ROOF), "reference": reference, **changes}


def failing(reference: str) -> Document:
    design = roof(reference)
    for member in design["members"]:
        member["section"] = {"b_mm": 22, "h_mm": 60}
    return design


def job(*designs: Document, **more: Any) -> Document:
    return {"format": "birdsmouth-job-1", "reference": "BOATHOUSE", "designs": list(designs), **more}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app(PATIENT).test_client()


@pytest.fixture(scope="module")
def done(client):
    def run(request: Document, status: int = 200, query: str = "") -> Document:
        answer = client.post(f"/v1/jobs{query}", json=request)
        assert answer.status_code == status, answer.get_json()
        return answer.get_json()

    return run


def checked(client: FlaskClient, design: Document, status: int = 200) -> Document:
    answer = client.post("/v1/checks", json=design)
    assert answer.status_code == status
    return answer.get_json()


def test_each_design_says_what_its_own_check_says(client, done):
    designs = [roof("A", codes=DAY), failing("B"), {**FAULTY_ROOF, "reference": "C"}]
    told = done(job(*designs))
    assert told["designs"][0]["report"] == checked(client, designs[0])
    assert told["designs"][1]["report"] == checked(client, designs[1])
    refused = checked(client, designs[2], 422)
    assert told["designs"][2]["problem"] == {name: value for name, value in refused.items() if name != "instance"}
    assert [each["status"] for each in told["designs"]] == [200, 200, 422]
    assert [each["verdict"] for each in told["designs"]][1:] == ["fail", None]


@pytest.mark.parametrize("shared", [{}, {"site": SMALL_ROOF["site"]}], ids=["alone", "with a shared site"])
def test_a_design_is_taken_to_its_last_digit(client, done, shared):
    design = roof("A", codes=DAY)
    design["nodes"][1]["x_mm"] += 0.00012345678
    (told,) = done(job(design, **shared))["designs"]
    assert told["report"]["receipt"] == checked(client, design)["receipt"]


def test_the_verdict_is_the_gravest_and_what_was_not_checked_leaves_it_open(done):
    sound = done(job(roof("A")))["verdict"]
    assert done(job(roof("A"), failing("B")))["verdict"] == "fail"
    assert done(job(roof("A"), {**FAULTY_ROOF, "reference": "C"}))["verdict"] == "open"
    assert done(job(failing("B"), {**FAULTY_ROOF, "reference": "C"}))["verdict"] == "fail"
    assert sound != "fail"


def test_what_the_job_says_holds_for_each(client, done):
    told = done(job(roof("A"), roof("B"), codes=DAY, site={"altitude_m": 80}))
    assert [each["report"]["receipt"]["as_of"] for each in told["designs"]] == ["2026-11-25"] * 2
    assert told["designs"][1]["report"] == checked(client, roof("B", codes=DAY))


def test_a_design_that_says_otherwise_than_the_job_is_refused_by_itself(done):
    told = done(job(roof("A"), roof("B", codes={"as_of": "2026-01-01"}), site={"altitude_m": 90}, codes=DAY))
    assert [[(e["pointer"], e["code"]) for e in each["problem"]["errors"]] for each in told["designs"]] == [
        [("/site/altitude_m", "contradiction")],
        [("/site/altitude_m", "contradiction"), ("/codes/as_of", "contradiction")],
    ]


def test_sums_are_those_of_the_designs(done):
    told = done(job(roof("A", count=12), roof("B", count=3), failing("D"), {**FAULTY_ROOF, "reference": "C", "count": 7}))
    assert told["summary"] | {"open": 0, "review": 0, "pass": 0} == {
        "designs": 4, "pass": 0, "fail": 1, "open": 0, "review": 0, "refused": 1, "not_reached": 0, "components": 16,
    }  # fmt: skip
    thick = next(row for row in told["timber"] if row["h_mm"] == 147)
    own = told["designs"][0]["report"]["quantities"]["timber"][0]
    assert thick["pieces"] == 15 * own["pieces"]
    assert thick["length_m"] == pytest.approx(15 * own["length_m"])
    for row in told["rules"]:
        found = [f for each in told["designs"] if each["report"] for f in each["report"]["findings"] if f["rule"] == row["rule"]]
        for kind in ("fail", "open", "review"):
            assert row[kind] == sum(f["kind"] == kind and f["waiver"] is None for f in found)
    assert any(row["fail"] and "D" in row["designs"] for row in told["rules"])


@pytest.mark.parametrize(("stop_on", "reached"), [(None, 4), ("fail", 2), ("refused", 3)])
def test_a_job_may_end_early_and_says_what_it_did_not_reach(done, stop_on, reached):
    designs = (roof("A"), failing("B"), {**FAULTY_ROOF, "reference": "C"}, roof("D"))
    told = done(job(*designs, stop_on=stop_on))
    assert [each["status"] is not None for each in told["designs"]] == [True] * reached + [False] * (4 - reached)
    assert told["summary"]["not_reached"] == 4 - reached
    alone = done(job({**FAULTY_ROOF, "reference": "C"}, roof("D"), stop_on="refused"))
    assert alone["verdict"] == "open"


@pytest.mark.parametrize(("reports", "given"), [("all", [True, True]), ("not-passing", [True, True]), ("none", [False, False])])
def test_reports_are_given_as_asked(done, reports, given):
    told = done(job(roof("A"), failing("B"), reports=reports))
    assert [each["report"] is not None for each in told["designs"]] == given
    assert told["designs"][1]["summary"]["fail"] > 0


def test_frames_that_are_alike_are_judged_once(monkeypatch):
    """Counted where combinations are solved: the second of two designs that differ in name only solves nothing."""
    from rules.judge import checking

    judged = []
    judge = checking.judge
    monkeypatch.setattr(checking, "judge", lambda design, *rest: judged.append(design.reference) or judge(design, *rest))
    client = create_app(PATIENT, engine=replace(shipped(), check=checking.check)).test_client()
    told = client.post("/v1/jobs", json=job(*(roof(name) for name in "ABC"), failing("D"))).get_json()
    assert judged == ["A", "D"]
    assert [each["report"]["reference"] for each in told["designs"]] == list("ABCD")


@pytest.mark.parametrize(
    ("request_", "expected"),
    [
        (job(), [("/designs", "wrong-count")]),
        (job(*[{}] * (LIMITS.job_designs + 1)), [("/designs", "wrong-count")]),
        (job(roof("A"), roof("A")), [("/designs/1/reference", "duplicate-id")]),
        (job(None), [("/designs/0", "required")]),
        (job(roof("A"), 5), [("/designs/1", "wrong-type")]),
        (job(roof("A"), stop_on="never"), [("/stop_on", "not-one-of")]),
        ({"designs": [roof("A")]}, [("/format", "required"), ("/reference", "required")]),
        (job(roof("A"), codes={"as_of": "soon"}, floor={}), [("/codes/as_of", "not-a-day"), ("/floor", "unknown-field")]),
    ],
)
def test_every_fault_of_the_job_is_told_at_once(done, request_, expected):
    answer = done(request_, status=422)
    assert answer["type"] == "/problems/job-refused"
    assert sorted((each["pointer"], each["code"]) for each in answer["errors"]) == sorted(expected)


def test_the_same_job_gives_the_same_bytes(client):
    first, second = (client.post("/v1/jobs", json=SMALL_JOB[2]).data for _ in range(2))
    assert first == second
    assert json.loads(first)["receipt"]["report"].startswith("sha256:")


def test_a_body_larger_than_a_job_may_be_is_refused(client):
    answer = client.post("/v1/jobs", data=b" " * (LIMITS.job_bytes + 1), content_type="application/json")
    assert answer.status_code == 413


@pytest.mark.parametrize("media_type", ["text/plain", "text/markdown", "text/html"])
def test_people_can_read_it(client, media_type):
    request = job(roof("<b>A|</b>"), failing("B"), {**FAULTY_ROOF, "reference": "C"}, roof("D"), stop_on="refused")
    text = client.post("/v1/jobs", json=request, headers={"Accept": media_type}).get_data(as_text=True)
    for word in ("BOATHOUSE", "refused", "not reached", "eurocode-timber/", "/members/0/grade"):
        assert word in text.replace("\\", "")
    assert media_type == "text/plain" or "<b>" not in text
    assert media_type != "text/plain" or max(map(len, text.splitlines())) <= 100


def test_in_files_for_pipelines_what_could_not_be_checked_stands_out(done):
    told = done(job(roof("A"), {**FAULTY_ROOF, "reference": "C"}, roof("D"), stop_on="refused"))
    log = json.loads(of_reports(told, "sarif", ["a.json", "c.json", "d.json"]))
    results = [result for run in log["runs"] for result in run["results"] if result["ruleId"].startswith("engine/not-checked")]
    assert [result["kind"] for result in results] == ["open"] * 3
    assert "c.json" in json.dumps(results)
    suites = ElementTree.fromstring(of_reports(told, "junit", ["a.json", "c.json", "d.json"]))
    assert [int(suite.get("errors")) > 0 for suite in suites][1:] == [True, True]
