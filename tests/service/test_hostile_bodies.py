"""Hostile bodies, as data (hostile.json), sent over HTTP: status, every pointer and code, one shape of error, and a service that lives on.

An entry gives a body, or pieces of one with how often each is repeated, or edits of the example design by JSON pointer.
"""

import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from service.settings import Settings

CASES = json.loads(Path(__file__).with_name("hostile.json").read_text(encoding="utf-8"))


def body_of(case: dict[str, Any], roof: dict[str, Any]) -> bytes:
    if "edits" in case:
        for edit in case["edits"]:
            apply(roof, *edit)
        return json.dumps(roof).encode()
    pieces = [[case["body"], 1]] if isinstance(case["body"], str) else case["body"]
    return "".join(text * times for text, times in pieces).encode()


def apply(document: Any, what: str, pointer: str, *value: Any) -> None:
    *steps, last = (step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:])
    for step in steps:
        document = document[int(step) if isinstance(document, list) else step]
    key = int(last) if isinstance(document, list) else last
    if what == "take":
        del document[key]
    else:
        document[key] = value[0]


def post(client: FlaskClient, path: str, body: bytes) -> TestResponse:
    return client.post(path, data=body, content_type="application/json")


def shape_of(problem: dict[str, Any]) -> None:
    """Every error the service gives has this shape."""
    assert set(problem) - {"more"} == {"type", "title", "status", "detail", "instance", "errors"}
    assert problem["type"].startswith("/problems/")
    assert problem["instance"].startswith("urn:birdsmouth:request:")
    for fault in problem["errors"]:
        assert list(fault) == ["pointer", "code", "detail", "found", "allowed", "hint"]
        assert fault["detail"]
        assert fault["hint"]


@pytest.mark.parametrize("path", ["/v1/checks", "/v1/analyses"])
@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_every_fault_is_named_and_the_service_lives_on(client: FlaskClient, roof: dict[str, Any], case: dict[str, Any], path: str) -> None:
    answer = post(client, path, body_of(case, roof))
    problem = answer.get_json()
    assert answer.status_code == case["status"] == problem["status"]
    assert answer.content_type == "application/problem+json"
    assert [[fault["pointer"], fault["code"]] for fault in problem["errors"]] == case["errors"]
    shape_of(problem)
    assert client.get("/healthz").status_code == 200


def test_there_are_more_than_sixty() -> None:
    assert len(CASES) > 60
    assert len({case["name"] for case in CASES}) == len(CASES)


REQUESTS: dict[str, tuple[int, str, dict[str, Any]]] = {
    "nowhere": (404, "not-found", {"method": "GET", "path": "/v2/checks"}),
    "a path of two slashes": (404, "not-found", {"method": "GET", "path": "/v1//packs"}),
    "no such pack": (404, "not-found", {"method": "GET", "path": "/v1/packs/lead"}),
    "no such rule": (404, "not-found", {"method": "GET", "path": "/v1/rules/lead/soft"}),
    "no such problem": (404, "not-found", {"method": "GET", "path": "/problems/weather"}),
    "reading where one writes": (405, "method-not-allowed", {"method": "GET", "path": "/v1/checks"}),
    "writing where one reads": (405, "method-not-allowed", {"method": "POST", "path": "/v1/packs"}),
    "a method there is not": (405, "method-not-allowed", {"method": "BREW", "path": "/v1/checks"}),
    "a report as a picture": (406, "not-acceptable", {"method": "POST", "path": "/v1/checks", "json": {}, "headers": {"Accept": "image/png"}}),
    "an analysis as text": (406, "not-acceptable", {"method": "POST", "path": "/v1/analyses", "json": {}, "headers": {"Accept": "text/plain"}}),
    "packs as a picture": (406, "not-acceptable", {"method": "GET", "path": "/v1/packs", "headers": {"Accept": "image/png"}}),
    "JSON refused by its q": (406, "not-acceptable", {"method": "POST", "path": "/v1/analyses", "json": {}, "headers": {"Accept": "application/json;q=0"}}),
    "no type": (415, "unsupported-media-type", {"method": "POST", "path": "/v1/checks", "data": b"{}"}),
    "a form": (415, "unsupported-media-type", {"method": "POST", "path": "/v1/checks", "data": {"a": "b"}}),
    "text": (415, "unsupported-media-type", {"method": "POST", "path": "/v1/checks", "data": b"{}", "content_type": "text/json"}),
    "compressed": (415, "unsupported-media-type", {"method": "POST", "path": "/v1/checks", "json": {}, "headers": {"Content-Encoding": "gzip"}}),
    "an option there is not": (400, "bad-query", {"method": "POST", "path": "/v1/checks?colour=red", "json": {}}),
    "a value an option has not": (400, "bad-query", {"method": "POST", "path": "/v1/checks?include=some", "json": {}}),
    "an option twice": (400, "bad-query", {"method": "POST", "path": "/v1/checks?include=all&include=governing", "json": {}}),
    "an option without a value": (400, "bad-query", {"method": "POST", "path": "/v1/checks?include=", "json": {}}),
    "an option of a check, at an analysis": (400, "bad-query", {"method": "POST", "path": "/v1/analyses?include=all", "json": {}}),
    "an option of packs": (400, "bad-query", {"method": "GET", "path": "/v1/packs?page=2"}),
    "no packs": (503, "not-ready", {"method": "GET", "path": "/readyz"}),
}  # fmt: skip


@pytest.mark.parametrize(("status", "code", "asked"), REQUESTS.values(), ids=REQUESTS)
def test_every_error_has_one_shape(client: FlaskClient, status: int, code: str, asked: dict[str, Any]) -> None:
    answer = client.open(**asked)
    assert answer.status_code == status
    assert answer.content_type == "application/problem+json"
    assert answer.headers["Cache-Control"] == "no-store"
    problem = answer.get_json()
    assert problem["type"] == f"/problems/{code}"
    assert problem["status"] == status
    shape_of(problem)
    assert client.get(problem["type"]).status_code == 200


@pytest.mark.parametrize("accept", ["text/plain", "text/plain, application/json;q=0", "text/*"])
def test_an_error_is_a_problem_whatever_is_accepted(client: FlaskClient, accept: str) -> None:
    for body, status in ((b"{", 400), (b"{}", 422)):
        answer = client.post("/v1/checks", data=body, content_type="application/json", headers={"Accept": accept})
        assert (answer.status_code, answer.content_type) == (status, "application/problem+json")


def test_a_method_that_is_not_taken_is_told_those_that_are(client: FlaskClient) -> None:
    answer = client.get("/v1/checks")
    assert set(answer.headers["Allow"].split(", ")) == {"OPTIONS", "POST", "QUERY"}
    assert answer.get_json()["detail"] in ("GET is not taken here; POST and QUERY are.", "GET is not taken here; QUERY and POST are.")


def test_a_format_that_is_not_given_is_told_those_that_are(client: FlaskClient) -> None:
    (fault,) = client.post("/v1/checks", json={}, headers={"Accept": "application/postscript"}).get_json()["errors"]
    assert fault["found"] == "application/postscript"
    assert fault["allowed"][:2] == ["application/json", "text/plain"]


def test_an_unknown_pack_is_told_those_there_are(client: FlaskClient) -> None:
    (fault,) = client.get("/v1/packs/lead").get_json()["errors"]
    assert (fault["code"], fault["found"], fault["allowed"]) == ("unknown-name", "lead", [])


def test_a_hundred_faults_are_spelt_out_and_the_rest_counted(client: FlaskClient, roof: dict[str, Any]) -> None:
    roof["nodes"] += [{"id": f"N{i}"} for i in range(130)]
    problem = client.post("/v1/checks", json=roof).get_json()
    assert len(problem["errors"]) == 100
    assert problem["more"] == 160
    assert problem["detail"].startswith("260 things are wrong with it. The first: /nodes/3/x_mm: ")


@pytest.mark.parametrize("size", [2 * 1024 * 1024, 2 * 1024 * 1024 + 1])
@pytest.mark.parametrize("announced", [True, False])
def test_the_largest_body_is_read_and_not_a_byte_more(client: FlaskClient, size: int, announced: bool) -> None:
    """Announced by Content-Length, or in chunks of unknown length: the limit is the same."""
    length = {"content_length": size} if announced else {"environ_overrides": {"wsgi.input_terminated": True, "CONTENT_LENGTH": ""}}
    answer = client.post("/v1/checks", input_stream=io.BytesIO(b" " * size), content_type="application/json", **length)
    assert answer.status_code == (400 if size == 2 * 1024 * 1024 else 413)
    assert answer.get_json()["errors"][0]["code"] == ("empty-body" if answer.status_code == 400 else "too-large")


Apps = Callable[..., Any]


def test_an_announced_size_beyond_the_limit_is_refused_unread(client: FlaskClient) -> None:
    stream = io.BytesIO(b" " * 100)
    answer = client.post(
        "/v1/checks", input_stream=stream, content_type="application/json", environ_overrides={"CONTENT_LENGTH": str(10**12)}
    )
    assert answer.status_code == 413
    assert stream.tell() == 0


def test_the_limit_can_be_set(app: Apps) -> None:
    client = app(Settings(max_body_bytes=1024)).test_client()
    assert client.post("/v1/checks", data=b" " * 1025, content_type="application/json").get_json()["errors"][0]["allowed"] == 1024
    assert client.get("/version").get_json()["limits"]["body_bytes"] == 1024
