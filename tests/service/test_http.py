"""What every answer carries, what is asked of the storeys below, and what is kept from the outside."""

import logging
import threading
import time
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from rules.judge.analysis import MOST_BAYS
from rules.judge.options import Options
from rules.subject.faults import DesignRefused, Fault
from service.deadline import Deadline, DeadlinePassed
from service.http.room import Room
from service.problems import Refusal
from service.settings import Settings

Apps = Callable[..., Flask]
SECRET = "the-name-of-a-customer"


def check(client: FlaskClient, roof: dict[str, Any], query: str = "", **headers: str) -> Any:
    return client.post(f"/v1/checks{query}", json=roof, headers=headers)


def test_a_report_is_json(client: FlaskClient, roof: dict[str, Any]) -> None:
    answer = check(client, roof)
    assert (answer.status_code, answer.content_type) == (200, "application/json")
    assert answer.get_json()["reference"] == "BOATHOUSE-R1"


def test_numbers_leave_with_nine_digits(client: FlaskClient, roof: dict[str, Any]) -> None:
    assert b'"third":0.333333333,' in check(client, roof).data


def test_the_day_is_asked_of_the_clock_only_when_the_design_names_none(client: FlaskClient, roof: dict[str, Any]) -> None:
    assert check(client, roof).get_json()["receipt"]["as_of"] == "2026-11-25"
    roof["codes"] = {"as_of": "2020-02-29"}
    assert check(client, roof).get_json()["receipt"]["as_of"] == "2020-02-29"


@pytest.mark.parametrize(
    ("query", "options"),
    [
        ("", Options()),
        ("?include=all", Options(include="all")),
        ("?include=governing&working=none", Options(working="none")),
        ("?response=combinations&working=all&include=all", Options(include="all", working="all", response="combinations")),
    ],
)
def test_options_of_the_address_reach_the_judge(client: FlaskClient, roof: dict[str, Any], query: str, options: Options) -> None:
    assert check(client, roof, query).get_json()["receipt"]["options"] == options.as_document()


def test_an_analysis_is_answered_whole(client: FlaskClient, roof: dict[str, Any]) -> None:
    answer = client.post("/v1/analyses", json=roof)
    assert (answer.status_code, answer.get_json()["format"]) == (200, "birdsmouth-analysis-1")


@pytest.mark.parametrize(
    "accept", ["*/*", "application/*", "application/json", "image/png, */*;q=0.1", "application/json, text/plain;q=0.5", ""]
)
def test_json_is_given_where_it_is_liked_best(client: FlaskClient, roof: dict[str, Any], accept: str) -> None:
    assert check(client, roof, Accept=accept).content_type == "application/json"


@pytest.mark.parametrize(
    "path", ["/", "/healthz", "/version", "/openapi.yaml", "/v1/packs", "/nowhere", "/v1/checks", "/problems/internal"]
)
def test_every_answer_carries_the_same_headers(client: FlaskClient, path: str) -> None:
    headers = client.get(path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Vary"] == "Accept"
    assert len(headers["X-Request-Id"]) == 32


def test_what_was_posted_is_stored_nowhere(client: FlaskClient, roof: dict[str, Any]) -> None:
    assert check(client, roof).headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("given", ["7f", "A.b_c-d~1", "x" * 128])
def test_a_request_id_is_echoed(client: FlaskClient, given: str) -> None:
    answer = client.get("/nowhere", headers={"X-Request-Id": given})
    assert answer.headers["X-Request-Id"] == given
    assert answer.get_json()["instance"] == f"urn:birdsmouth:request:{given}"


@pytest.mark.parametrize("given", ["", "a b", "x" * 129, "ü", "<script>", "a,b"])
def test_a_request_id_that_could_do_harm_is_replaced(client: FlaskClient, given: str) -> None:
    made = client.get("/healthz", headers={"X-Request-Id": given}).headers["X-Request-Id"]
    assert made != given
    assert len(made) == 32


def test_a_trace_is_echoed_when_it_is_one(client: FlaskClient) -> None:
    trace = f"00-{'a' * 32}-{'b' * 16}-01"
    assert client.get("/healthz", headers={"traceparent": trace}).headers["traceparent"] == trace
    for other in ("x", trace.upper(), f"00-{'0' * 32}-{'b' * 16}-01", f"00-{'a' * 32}-{'0' * 16}-01", f"ff{trace[2:]}"):
        assert "traceparent" not in client.get("/healthz", headers={"traceparent": other}).headers


def test_head_is_answered_without_a_body(client: FlaskClient) -> None:
    answer = client.head("/version")
    assert (answer.status_code, answer.data) == (200, b"")


def test_a_page_for_people_names_its_style_and_loads_nothing(client: FlaskClient) -> None:
    page = client.get("/")
    assert page.content_type == "text/html; charset=utf-8"
    assert "style-src 'sha256-" in page.headers["Content-Security-Policy"]
    assert "licensed engineer" in page.text
    assert "src=" not in page.text
    assert "http-equiv" not in page.text


def test_problems_are_explained_to_people_and_programs(client: FlaskClient) -> None:
    assert client.get("/problems/design-refused").get_json()["status"] == 422
    assert client.get("/problems/bent-piece").get_json() == {
        "code": "bent-piece",
        "meaning": "A node is more than 1 mm off the straight line of its piece.",
    }
    page = client.get("/problems/design-refused", headers={"Accept": "text/html"})
    assert page.content_type == "text/html; charset=utf-8"
    assert "422" in page.text
    assert '<meta name=viewport content="width=device-width">' in page.text
    assert "<a href=/docs>" in page.text


def test_the_version_names_the_limits(client: FlaskClient) -> None:
    told = client.get("/version").get_json()
    assert told["limits"]["members"] == 2000
    assert told["limits"]["bays"] == MOST_BAYS
    assert told["limits"]["deadline_s"] == 20
    assert set(told) >= {"engine", "format", "python", "numpy", "packs"}


def explode(*_given: Any, **_named: Any) -> Any:
    raise ValueError(SECRET)


@pytest.mark.parametrize("path", ["/v1/checks", "/v1/analyses"])
def test_a_failure_tells_nothing_of_itself(app: Apps, roof: dict[str, Any], path: str, caplog: pytest.LogCaptureFixture) -> None:
    client = app(check=explode, analyse=explode).test_client()
    with caplog.at_level(logging.ERROR, logger="birdsmouth.http"):
        answer = client.post(path, json=roof, headers={"X-Request-Id": "r-1"})
    assert answer.status_code == 500
    assert answer.get_json() == {
        "type": "/problems/internal", "title": "The service failed", "status": 500, "detail": "The service failed; nothing was judged.",
        "instance": "urn:birdsmouth:request:r-1", "errors": [],
    }  # fmt: skip
    assert "'exception': 'ValueError'" in caplog.text
    assert "'request': 'r-1'" in caplog.text
    assert "in explode" in caplog.text
    assert SECRET not in caplog.text
    assert client.get("/healthz").status_code == 200


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_what_is_no_number_never_leaves(app: Apps, roof: dict[str, Any], value: float, caplog: pytest.LogCaptureFixture) -> None:
    client = app(check=lambda *_, **__: {"findings": [{"utilisation": value}]}).test_client()
    answer = check(client, roof)
    assert answer.status_code == 500
    assert answer.get_json()["type"] == "/problems/no-number"
    assert "/findings/0/utilisation" in caplog.text


def test_a_refusal_of_the_solver_keeps_its_title_and_what_it_adds(app: Apps, roof: dict[str, Any]) -> None:
    def refuse(*_given: Any, **_named: Any) -> Any:
        fault = Fault("/nodes/1", "mechanism", "Node B can move sideways.", hint="Brace it.")
        raise DesignRefused((fault,), "The frame is a mechanism", {"mechanism": [{"node": "B", "direction": "x", "share": 1 / 3}]})

    problem = check(app(check=refuse).test_client(), roof).get_json()
    assert problem["title"] == "The frame is a mechanism"
    assert problem["detail"] == "/nodes/1: Node B can move sideways."
    assert problem["mechanism"] == [{"node": "B", "direction": "x", "share": 0.333333333}]
    assert problem["status"] == 422


def test_a_request_past_its_deadline_is_told_to_come_back(app: Apps, roof: dict[str, Any]) -> None:
    def slow(*_given: Any, **_named: Any) -> Any:
        time.sleep(0.05)
        return {}

    answer = check(app(Settings(deadline_s=0.02), check=slow).test_client(), roof)
    assert (answer.status_code, answer.get_json()["type"]) == (503, "/problems/too-slow")
    assert answer.headers["Retry-After"] == "5"


def test_a_deadline_is_asked_between_the_steps_of_a_check(app: Apps, roof: dict[str, Any]) -> None:
    """And so ends it long before it is done."""
    steps: list[int] = []

    def stepwise(*_given: Any, between: Callable[[], object], **_named: Any) -> Any:
        for step in range(1000):
            steps.append(step)
            time.sleep(0.02)
            between()
        return {}

    answer = check(app(Settings(deadline_s=0.05), check=stepwise).test_client(), roof)
    assert (answer.status_code, answer.get_json()["type"]) == (503, "/problems/too-slow")
    assert len(steps) < 1000


def test_a_full_house_sends_the_next_away(app: Apps, roof: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    """One calculates, one waits, the third is sent away at once; the first two are answered."""
    begun, may_end = threading.Event(), threading.Event()

    def wait(*_given: Any, **_named: Any) -> Any:
        begun.set()
        may_end.wait(60)
        return {"format": "x"}

    application = app(Settings(waiting=1), check=wait)
    in_line = told_of_a_second(application.extensions["birdsmouth"].room, monkeypatch)
    answers: list[int] = []
    threads = [threading.Thread(target=lambda: answers.append(check(application.test_client(), roof).status_code)) for _ in range(2)]
    threads[0].start()
    assert begun.wait(60)
    threads[1].start()
    assert in_line.wait(60)
    third = check(application.test_client(), roof)
    assert application.test_client().get("/healthz").status_code == 200
    may_end.set()
    for thread in threads:
        thread.join(60)
    assert third.get_json()["type"] == "/problems/too-busy"
    assert third.headers["Retry-After"] == "1"
    assert answers == [200, 200]


def told_of_a_second(room: Room, monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """Set as soon as a second request has its place in the line and begins to wait for its turn."""
    in_line, asked, turn = threading.Event(), iter(range(100)), room.turn

    def noted(deadline: Deadline) -> Any:
        if next(asked) == 1:
            in_line.set()
        return turn(deadline)

    monkeypatch.setattr(room, "turn", noted)
    return in_line


def test_room_is_given_back_after_a_failure() -> None:
    room = Room(waiting=0)
    for _ in range(3):
        with pytest.raises(ValueError, match="boom"), room.enter(Deadline()):
            raise ValueError("boom")
    with room.enter(Deadline()), pytest.raises(Refusal), room.enter(Deadline()):
        raise AssertionError("there was room for two")


def test_a_turn_that_does_not_come_in_time_is_given_up() -> None:
    room = Room(waiting=1)
    with room.enter(Deadline()):
        with pytest.raises(DeadlinePassed), room.enter(Deadline.after(0.01)):
            raise AssertionError("there was a turn")
        with pytest.raises(DeadlinePassed), room.enter(Deadline.after(0.01)):
            raise AssertionError("there was a turn")
