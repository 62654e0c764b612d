"""Many designs in one request: in order, all or nothing read, the same line judged once, a closing count."""

import errno
import gc
import io
import json
import logging
import threading
import warnings
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from service.deadline import Deadline
from service.limits import LIMITS
from service.openapi.examples import FAULTY_ROOF
from service.problems import Refusal
from service.settings import Settings

Apps = Callable[..., Flask]
NDJSON = "application/x-ndjson"
SECRET = "the-name-of-a-customer"


def lines_of(*designs: Any) -> bytes:
    return b"".join(json.dumps(design).encode() + b"\n" for design in designs)


def batch(client: FlaskClient, content: bytes, query: str = "", **headers: str) -> TestResponse:
    return client.post(f"/v1/checks/batch{query}", data=content, content_type=NDJSON, headers=headers)


def told(answer: TestResponse) -> list[dict[str, Any]]:
    assert answer.status_code == 200, answer.text
    assert answer.data.endswith(b"\n")
    return [json.loads(line) for line in answer.data.splitlines()]


def unannounced(body: Any) -> dict[str, Any]:
    """A body that comes in pieces, as servers hand it on: without a length."""
    return {"wsgi.input": body, "wsgi.input_terminated": True, "CONTENT_LENGTH": ""}


def test_each_line_is_answered_in_order_as_it_would_be_alone(client: FlaskClient, roof: dict[str, Any]) -> None:
    other = {**roof, "reference": "OTHER"}
    *answers, last = told(batch(client, lines_of(roof, FAULTY_ROOF, other) + b"{\n\n" + lines_of(roof)))
    assert [(each["line"], each["status"]) for each in answers] == [(1, 200), (2, 422), (3, 200), (4, 400), (5, 400), (6, 200)]
    assert last == {"lines": 6, "failed": 3}
    assert [answers[at]["report"]["reference"] for at in (0, 2, 5)] == ["BOATHOUSE-R1", "OTHER", "BOATHOUSE-R1"]
    assert answers[0]["report"] == client.post("/v1/checks", json=roof).get_json()
    alone = client.post("/v1/checks", json=FAULTY_ROOF).get_json()
    assert answers[1]["problem"]["errors"] == alone["errors"]


def test_the_report_is_byte_for_byte_that_of_one_check(client: FlaskClient, roof: dict[str, Any]) -> None:
    first = batch(client, lines_of(roof)).data.splitlines()[0]
    assert first == b'{"line":1,"status":200,"report":' + client.post("/v1/checks", json=roof).data + b"}"


def test_the_last_line_needs_no_end(client: FlaskClient, roof: dict[str, Any]) -> None:
    assert told(batch(client, lines_of(roof, roof).rstrip(b"\n")))[-1] == {"lines": 2, "failed": 0}


def test_windows_line_ends_are_taken(client: FlaskClient, roof: dict[str, Any]) -> None:
    assert told(batch(client, lines_of(roof, roof).replace(b"\n", b"\r\n")))[-1] == {"lines": 2, "failed": 0}


def test_the_same_line_is_judged_once(app: Apps, roof: dict[str, Any]) -> None:
    calls: list[str] = []

    def count(design: Any, *_given: Any, **_named: Any) -> dict[str, Any]:
        calls.append(design.reference)
        return {"format": "birdsmouth-report-1", "reference": design.reference}

    other = {**roof, "reference": "OTHER"}
    answers = told(batch(app(check=count).test_client(), lines_of(roof, other, roof, other, roof)))
    assert calls == ["BOATHOUSE-R1", "OTHER"]
    assert [each["report"]["reference"] for each in answers[:-1]] == ["BOATHOUSE-R1", "OTHER"] * 2 + ["BOATHOUSE-R1"]


def test_a_failure_of_ours_is_one_lines_failure_and_is_not_kept(app: Apps, roof: dict[str, Any], caplog: pytest.LogCaptureFixture) -> None:
    calls: list[int] = []

    def explode_once(*_given: Any, **_named: Any) -> dict[str, Any]:
        calls.append(1)
        if len(calls) == 1:
            raise ValueError(SECRET)
        return {"format": "birdsmouth-report-1"}

    with caplog.at_level(logging.ERROR, logger="birdsmouth.http"):
        answer = batch(app(check=explode_once).test_client(), lines_of(roof, roof))
    assert [each.get("status") for each in told(answer)] == [500, 200, None]
    assert told(answer)[-1] == {"lines": 2, "failed": 1}
    assert SECRET not in answer.text + caplog.text
    assert "ValueError" in caplog.text


def test_options_hold_for_every_line(client: FlaskClient, roof: dict[str, Any]) -> None:
    answers = told(batch(client, lines_of(roof), "?include=all"))
    assert answers[0]["report"]["receipt"]["options"]["include"] == "all"


def test_a_line_that_is_too_large_fails_alone(app: Apps, roof: dict[str, Any]) -> None:
    client = app(Settings(max_body_bytes=4096)).test_client()
    assert [each.get("status") for each in told(batch(client, lines_of(roof) + b" " * 5000 + b"\n" + lines_of(roof)))] == [
        200,
        413,
        200,
        None,
    ]


@pytest.mark.parametrize(
    ("content", "status", "code"),
    [
        (b"", 400, "wrong-count"),
        (b"{}\n" * (LIMITS.batch_lines + 1), 413, "wrong-count"),
        (b" " * (LIMITS.batch_bytes + 1), 413, "too-large"),
    ],
    ids=["none", "too many", "too large"],
)
def test_what_is_no_batch_is_refused_whole(client: FlaskClient, content: bytes, status: int, code: str) -> None:
    answer = batch(client, content)
    assert (answer.status_code, answer.mimetype) == (status, "application/problem+json")
    assert answer.get_json()["errors"][0]["code"] == code


class Full:
    """A file on a disk that is full: nothing can be written, nor let go."""

    def __init__(self, **_named: Any) -> None:
        """As any file is opened."""

    def __enter__(self) -> "Full":
        return self

    def __exit__(self, *_why: object) -> None:
        raise OSError(errno.ENOSPC, SECRET)

    def write(self, _piece: bytes) -> int:
        raise OSError(errno.ENOSPC, SECRET)


def no_folder(**_named: Any) -> Any:
    raise FileNotFoundError(errno.ENOENT, SECRET)


@pytest.mark.parametrize(("made", "reason"), [(Full, "ENOSPC"), (no_folder, "ENOENT")], ids=["full", "no folder"])
def test_where_no_file_can_be_written_a_batch_is_sent_away(
    app: Apps, roof: dict[str, Any], made: Any, reason: str, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    client = app(Settings(waiting=0)).test_client()
    with monkeypatch.context() as disk:
        disk.setattr("service.http.batch.TemporaryFile", made)
        answer = batch(client, lines_of(roof))
    assert (answer.status_code, answer.get_json()["type"], answer.headers["Retry-After"]) == (503, "/problems/no-room", "30")
    assert any(reason in record.getMessage() for record in caplog.records)
    assert SECRET not in caplog.text
    assert told(batch(client, lines_of(roof)))[-1] == {"lines": 1, "failed": 0}


def test_an_answer_that_cannot_be_kept_is_worked_out_again(app: Apps, roof: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk is full by the time the first answer is there, whole or in part: a file without a buffer says how much it took."""
    client, content = app().test_client(), lines_of(roof, roof, roof)
    good = batch(client, content).data
    for took in (0, 10, None):

        class Filling(io.BytesIO):
            def write(self, piece: Any, took: int | None = took) -> int:
                if took is None:
                    raise OSError(errno.ENOSPC, SECRET)
                return super().write(piece[:took])

        with monkeypatch.context() as disk:
            disk.setattr("service.http.batch.TemporaryFile", lambda buffering, kept=Filling: io.BytesIO() if buffering else kept())
            assert batch(client, content).data == good


def test_as_many_as_may_be_are_taken(client: FlaskClient) -> None:
    assert told(batch(client, b"{}\n" * LIMITS.batch_lines))[-1] == {"lines": 1000, "failed": 1000}


def test_a_body_without_a_length_is_bounded_too(client: FlaskClient) -> None:
    class Endless:
        def __init__(self) -> None:
            self.given = 0

        def read(self, size: int = -1) -> bytes:
            self.given += size
            return b" " * size

        readline = read

    endless = Endless()
    answer = client.post("/v1/checks/batch", content_type=NDJSON, environ_overrides=unannounced(endless))
    assert answer.status_code == 413
    assert endless.given < LIMITS.batch_bytes + 1_000_000


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Content-Type": "application/json"}, 415),
        ({"Content-Type": NDJSON, "Content-Encoding": "gzip"}, 415),
        ({"Content-Type": NDJSON, "Accept": "application/json"}, 406),
    ],
)
def test_another_type_is_refused(client: FlaskClient, headers: dict[str, str], status: int) -> None:
    assert client.post("/v1/checks/batch", data=b"{}\n", headers=headers).status_code == status


def test_a_source_is_no_option_of_many_designs(client: FlaskClient, roof: dict[str, Any]) -> None:
    assert batch(client, lines_of(roof), "?source=a.json").status_code == 400


def test_nothing_is_judged_before_all_is_read(app: Apps, roof: dict[str, Any]) -> None:
    """The answer is made as it is read, so the first judgement comes after the last byte of the body."""
    order: list[str] = []

    class Body:
        def __init__(self, content: bytes) -> None:
            self.content = content

        def read(self, size: int = -1) -> bytes:
            order.append("read")
            piece, self.content = self.content[:size], self.content[size:]
            return piece

        readline = read

    def judge(*_given: Any, **_named: Any) -> dict[str, Any]:
        order.append("judged")
        return {"format": "birdsmouth-report-1"}

    body = Body(lines_of(*({**roof, "reference": f"R{number}"} for number in range(100))))
    told(app(check=judge).test_client().post("/v1/checks/batch", content_type=NDJSON, environ_overrides=unannounced(body)))
    assert order.count("judged") == 100
    assert "read" not in order[order.index("judged") :]
    assert order.count("read") > 1


def test_a_full_house_sends_a_batch_away_and_a_batch_leaves_room(app: Apps, roof: dict[str, Any]) -> None:
    application = app(Settings(waiting=0))
    room = application.extensions["birdsmouth"].room
    with room.enter(Deadline()):
        assert batch(application.test_client(), lines_of(roof)).status_code == 503
    assert told(batch(application.test_client(), lines_of(roof)))[-1]["failed"] == 0
    with room.enter(Deadline()), pytest.raises(Refusal), room.place():
        raise AssertionError("there was room for two")


def test_a_caller_who_goes_away_leaves_his_place(app: Apps, roof: dict[str, Any]) -> None:
    """Before the first line, and in the middle."""
    application = app(Settings(waiting=0))
    for lines_read in (0, 1):
        answer = application.test_client().post("/v1/checks/batch", data=lines_of(roof, roof), content_type=NDJSON, buffered=False)
        for _ in range(lines_read):
            next(iter(answer.response))
        answer.close()
        with application.extensions["birdsmouth"].room.enter(Deadline.after(1)):
            pass


@pytest.mark.parametrize("lines_read", [0, 1])
def test_an_answer_that_is_dropped_leaves_nothing_open(app: Apps, roof: dict[str, Any], lines_read: int) -> None:
    application = app(Settings(waiting=0))
    with warnings.catch_warnings(record=True) as told_of:
        warnings.simplefilter("always")
        answer = application.test_client().post("/v1/checks/batch", data=lines_of(roof, roof), content_type=NDJSON, buffered=False)
        for _ in range(lines_read):
            next(iter(answer.response))
        del answer
        gc.collect()
    assert [str(each.message) for each in told_of] == []
    with application.extensions["birdsmouth"].room.enter(Deadline.after(1)):
        pass


def test_others_get_a_turn_between_two_lines(app: Apps, roof: dict[str, Any]) -> None:
    application = app(Settings(waiting=1))
    answer = application.test_client().post("/v1/checks/batch", data=lines_of(roof, roof), content_type=NDJSON, buffered=False)
    next(iter(answer.response))
    statuses: list[int] = []
    other = threading.Thread(target=lambda: statuses.append(application.test_client().post("/v1/checks", json=roof).status_code))
    other.start()
    other.join(60)
    answer.close()
    assert statuses == [200]
