"""What is written down about a request: enough to run the service by, and nothing of what the design says."""

import copy
import json
import logging
import os
from collections.abc import Callable, Iterator
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from patience import PATIENT
from prometheus_client.mmap_dict import MmapedDict

from rules.library.loading import load_library
from service.http import create_app
from service.journal import formatter
from service.metrics import fold
from service.openapi.examples import SMALL_COMPARISON, SMALL_JOB, SMALL_SIZING
from service.settings import Settings
from service.tokens import Token, digest_of

Apps = Callable[..., Flask]
MARK = "Quellwasser"
TRACE = f"00-{'a' * 32}-{'b' * 16}-01"


@pytest.fixture
def lines() -> Iterator[Callable[[], list[dict[str, Any]]]]:
    """What the log holds so far, read as JSON; at the most talkative level."""
    out, root = StringIO(), logging.getLogger()
    handler = logging.StreamHandler(out)
    handler.setFormatter(formatter())
    before = root.level
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    yield lambda: [json.loads(line) for line in out.getvalue().splitlines()]
    root.removeHandler(handler)
    root.setLevel(before)


Lines = Callable[[], list[dict[str, Any]]]


def test_an_answer_is_one_line(app: Apps, roof: dict[str, Any], lines: Lines) -> None:
    client = app(Settings(tokens=(Token("mill", digest_of("t")),))).test_client()
    answer = client.post("/v1/checks", json=roof, headers={"X-Request-Id": "r-7", "traceparent": TRACE, "Authorization": "Bearer t"})
    (line,) = lines()
    assert line.pop("ms") > 0
    assert line.pop("at").endswith("Z")
    assert line == {
        "level": "info", "logger": "birdsmouth.answers", "event": "answered", "method": "POST", "route": "/v1/checks", "status": 200,
        "bytes": len(answer.data), "request": "r-7", "trace": "a" * 32, "caller": "mill",
    }  # fmt: skip


def test_a_problem_is_named_by_its_kind(client: FlaskClient, lines: Lines) -> None:
    client.post("/v1/checks", json={}, headers={"X-Request-Id": "r-8"})
    client.get(f"/{MARK}")
    assert [(line["route"], line["status"], line["problem"]) for line in lines()] == [
        ("/v1/checks", 422, "design-refused"),
        ("none", 404, "not-found"),
    ]


def test_a_batch_is_told_of_when_its_last_byte_has_left(client: FlaskClient, roof: dict[str, Any], lines: Lines) -> None:
    body = (json.dumps(roof) + "\n").encode() * 3
    with client.post("/v1/checks/batch", data=body, content_type="application/x-ndjson", buffered=False) as answer:
        assert lines() == []
        assert answer.data.endswith(b'{"lines":3,"failed":0}\n')
    assert [(line["route"], line["status"]) for line in lines()] == [("/v1/checks/batch", 200)]


def marked(roof: dict[str, Any]) -> dict[str, Any]:
    """The design with a word of its own wherever a caller may write one."""
    roof["reference"] = roof["title"] = f"{MARK} 1"
    roof["site"] |= {"district": MARK, "parish": MARK, "postcode": MARK}
    roof["codes"] = {"parameters": {MARK: {"value": MARK, "reason": MARK}}}
    roof["materials"] = {"grades": [{"id": MARK, "kind": "solid-timber", "tradition": "en"}]}
    for part in ("nodes", "members", "supports", "actions"):
        for item in roof[part]:
            item["id"] += MARK
    return roof


OTHERS = {"/v1/jobs": SMALL_JOB, "/v1/comparisons": SMALL_COMPARISON, "/v1/sizings": SMALL_SIZING}


def explode(*_given: Any, **_named: Any) -> Any:
    raise ValueError(MARK)


def test_no_word_of_a_caller_gets_into_log_or_figures(app: Apps, roof: dict[str, Any], lines: Lines) -> None:
    real = create_app(PATIENT, load_library()).test_client()
    broken = app(check=explode, analyse=explode).test_client()
    sound = {**copy.deepcopy(roof), "reference": MARK, "title": MARK}
    for client in (real, broken):
        for path in ("/v1/checks", "/v1/analyses", "/v1/expansions"):
            for body in (sound, marked(roof)):
                client.post(path, json=body)
                client.open(path, method="QUERY", json=body, headers={"Accept": f"text/{MARK}"})
        for path, (_, _, example) in OTHERS.items():
            words = json.dumps(example).replace("BOATHOUSE", MARK)
            assert MARK in words
            client.post(path, data=words, content_type="application/json")
            client.post(path, json={MARK: MARK, "format": MARK})
        client.post("/v1/checks/batch", data=(json.dumps(sound) + f"\n{MARK}\n").encode(), content_type="application/x-ndjson").close()
        client.post(f"/v1/checks?source={MARK}.json&{MARK}=1", json=sound)
        client.post("/v1/checks", data=MARK.encode(), content_type="application/json")
        client.post("/v1/checks", data=MARK.encode(), content_type=f"text/{MARK}")
        client.post("/v1/trials", json={"files": {f"{MARK}.yaml": MARK, "pack.yaml": f"id: {MARK}"}, "designs": [sound]})
        client.get(f"/v1/packs/{MARK}")
        client.get(f"/{MARK}/{MARK}")
        client.get(
            "/version", headers={"Authorization": f"Bearer {MARK}", "User-Agent": MARK, "X-Request-Id": f"{MARK} x", "traceparent": MARK}
        )
        client.open("/v1/checks", method=MARK.upper())
        figures = client.get("/metrics").get_data(as_text=True)
        assert MARK.lower() not in figures.lower()
        assert 'birdsmouth_answers_total{method="other",route="none",status="405"} 1.0' in figures
    told = lines()
    assert len(told) > 30
    assert MARK.lower() not in json.dumps(told).lower()
    assert any(line.get("exception") == "ValueError" and "in explode" in line["stack"] for line in told)


def test_the_servers_own_lines_repeat_no_request(lines: Lines) -> None:
    log = logging.getLogger("gunicorn.error")
    log.warning("Invalid request from ip=%s: %s", "192.0.2.1", f"Invalid Request Line '{MARK}'")
    try:
        explode()
    except ValueError:
        log.exception("Error handling request %s", f"/v1/packs/{MARK}")
    log.info("Booting worker with pid: %s", 7)
    assert MARK not in json.dumps(lines())
    assert [(line["event"], line.get("exception")) for line in lines()] == [
        ("Invalid request", None),
        ("Error handling request", "ValueError"),
        ("Booting worker with pid: 7", None),
    ]


def test_figures_count_answers_and_problems(client: FlaskClient, roof: dict[str, Any]) -> None:
    for body in (roof, roof, {}):
        client.post("/v1/checks", json=body)
    answer = client.get("/metrics")
    assert answer.content_type.startswith("text/plain; version=")
    assert answer.headers["Cache-Control"] == "no-store"
    for line in (
        'birdsmouth_answers_total{method="POST",route="/v1/checks",status="200"} 2.0',
        'birdsmouth_answer_seconds_count{route="/v1/checks"} 3.0',
        'birdsmouth_problems_total{code="design-refused"} 1.0',
    ):
        assert line in answer.text


def test_applications_count_by_themselves(app: Apps) -> None:
    first, second = app().test_client(), app().test_client()
    first.get("/healthz")
    assert "/healthz" in first.get("/metrics").text
    assert "/healthz" not in second.get("/metrics").text


def test_what_an_ended_process_counted_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PROMETHEUS_MULTIPROC_DIR", str(tmp_path))
    for pid, counted in ((11, {"a": 2.0, "b": 1.0}), (12, {"a": 3.0})):
        file = MmapedDict(str(tmp_path / f"counter_{pid}.db"))
        for key, value in counted.items():
            file.write_value(key, value, 0.0)
        file.close()
    for pid in (11, 12, 13):
        fold(pid)
    assert os.listdir(tmp_path) == ["counter_gone.db"]
    assert {key: value for key, value, *_ in MmapedDict.read_all_values_from_file(str(tmp_path / "counter_gone.db"))} == {
        "a": 5.0,
        "b": 1.0,
    }
