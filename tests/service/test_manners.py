"""QUERY, tags and 304, digests, what may be kept, OPTIONS, and pages of other origins."""

import base64
import datetime
import hashlib
import re
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from patience import PATIENT
from werkzeug.test import TestResponse

from rules.library.loading import Library, load_library
from service.http import create_app
from service.openapi.examples import FAULTY_ROOF
from service.settings import Settings, SettingsRefused, settings_from

Apps = Callable[..., Flask]
KEPT = ["/", "/version", "/openapi.yaml", "/v1/packs", "/v1/packs/paper", "/problems/internal"]


def query(client: FlaskClient, roof: Any, address: str = "/v1/checks", **headers: str) -> TestResponse:
    return client.open(address, method="QUERY", json=roof, headers=headers)


# QUERY


def test_query_answers_as_post_does(client: FlaskClient, roof: dict[str, Any]) -> None:
    assert query(client, roof).data == client.post("/v1/checks", json=roof).data


def test_query_refuses_as_post_does(client: FlaskClient) -> None:
    asked, posted = query(client, FAULTY_ROOF), client.post("/v1/checks", json=FAULTY_ROOF)
    assert (asked.status_code, asked.get_json()["errors"]) == (422, posted.get_json()["errors"])
    assert "ETag" not in asked.headers
    assert asked.headers["Cache-Control"] == "no-store"


def test_a_known_answer_is_not_worked_out_again(app: Apps, roof: dict[str, Any]) -> None:
    calls: list[int] = []

    def count(*_given: Any, **_named: Any) -> dict[str, Any]:
        calls.append(1)
        return {"format": "birdsmouth-report-1"}

    client = app(check=count).test_client()
    first = query(client, roof)
    tag = first.headers["ETag"]
    assert tag.startswith('"')
    again = query(client, roof, **{"If-None-Match": f'"other", {tag}'})
    assert (again.status_code, again.data, again.headers["ETag"], len(calls)) == (304, b"", tag, 1)
    assert again.headers["Cache-Control"] == first.headers["Cache-Control"] == "private, no-cache"
    assert query(client, roof, **{"If-None-Match": "*"}).status_code == 200


def test_a_tag_hangs_on_all_the_answer_hangs_on(client: FlaskClient, roof: dict[str, Any]) -> None:
    other = {**roof, "reference": "ANOTHER"}
    tags = [
        query(client, roof).headers["ETag"],
        query(client, other).headers["ETag"],
        query(client, roof, "/v1/checks?include=all").headers["ETag"],
        query(client, roof, "/v1/checks?source=a.json").headers["ETag"],
        query(client, {**roof, "codes": {"as_of": "2020-01-01"}}).headers["ETag"],
    ]
    assert len(set(tags)) == len(tags)


def test_a_tag_hangs_on_the_format(roof: dict[str, Any]) -> None:
    client = create_app(PATIENT, load_library()).test_client()
    formats = ("application/json", "text/html", "text/markdown", "application/xml")
    assert len({query(client, roof, Accept=accept).headers["ETag"] for accept in formats}) == len(formats)


def test_a_tag_hangs_on_the_packs(roof: dict[str, Any], engine: Any) -> None:
    library = load_library()
    fewer = Library(library.packs[:-1])
    tags = {query(create_app(library=each, engine=engine()).test_client(), roof).headers["ETag"] for each in (library, fewer)}
    assert len(tags) == 2


def test_a_tag_hangs_on_the_day_unless_the_design_names_one(roof: dict[str, Any], engine: Any) -> None:
    days = [datetime.date(2026, 11, 25), datetime.date(2026, 11, 26)]
    clients = [create_app(library=Library(()), engine=engine(), today=lambda day=day: day).test_client() for day in days]
    undated = [query(client, roof).headers["ETag"] for client in clients]
    dated = [query(client, {**roof, "codes": {"as_of": "2020-01-01"}}).headers["ETag"] for client in clients]
    assert undated[0] != undated[1]
    assert dated[0] == dated[1]


def test_the_address_says_that_it_takes_queries(client: FlaskClient) -> None:
    answer = client.options("/v1/checks")
    assert answer.status_code == 200
    assert set(answer.headers["Allow"].split(", ")) == {"OPTIONS", "POST", "QUERY"}
    assert answer.headers["Accept-Query"] == '"application/json"'
    assert "Accept-Query" not in client.options("/version").headers


def test_every_address_says_what_it_takes(app: Apps) -> None:
    application = app()
    client = application.test_client()
    for rule in application.url_map.iter_rules():
        path = re.sub("<[^>]+>", "paper", rule.rule)
        asked = client.options(path)
        assert asked.status_code == 200, path
        assert asked.data == b"", path
        allowed = set(asked.headers["Allow"].split(", "))
        assert "OPTIONS" in allowed, path
        assert client.head(path).status_code == (405 if "GET" not in allowed else client.get(path).status_code), path


# GET and HEAD


@pytest.mark.parametrize("path", KEPT)
def test_a_page_that_is_the_same_is_not_sent_again(client: FlaskClient, path: str) -> None:
    first = client.get(path)
    assert first.headers["Cache-Control"] == "no-cache"
    for method in (client.get, client.head):
        again = method(path, headers={"If-None-Match": first.headers["ETag"]})
        assert (again.status_code, again.data, again.headers["ETag"]) == (304, b"", first.headers["ETag"])
    assert client.get(path, headers={"If-None-Match": '"other"'}).data == first.data


@pytest.mark.parametrize("path", KEPT)
def test_head_says_what_get_says(client: FlaskClient, path: str) -> None:
    get, head = client.get(path), client.head(path)
    assert head.data == b""
    for name in ("ETag", "Content-Type", "Content-Length", "Repr-Digest", "Cache-Control", "Vary"):
        assert head.headers[name] == get.headers[name]
    assert get.headers["Content-Digest"] == get.headers["Repr-Digest"]
    assert "Content-Digest" not in head.headers


def test_the_formats_of_one_page_have_tags_of_their_own(client: FlaskClient) -> None:
    tags = {client.get("/problems/internal", headers={"Accept": accept}).headers["ETag"] for accept in ("text/html", "application/json")}
    assert len(tags) == 2


@pytest.mark.parametrize("path", ["/healthz", "/readyz", "/nowhere", "/v1/packs/lead"])
def test_what_passes_or_failed_is_not_kept(client: FlaskClient, path: str) -> None:
    answer = client.get(path)
    assert answer.headers["Cache-Control"] == "no-store"
    assert "ETag" not in answer.headers


@pytest.mark.parametrize("path", KEPT)
def test_who_wants_it_only_as_it_was_is_told_that_it_is_not(client: FlaskClient, path: str) -> None:
    tag = client.get(path).headers["ETag"]
    for wanted in (tag, "*", f'"other", {tag}'):
        assert client.get(path, headers={"If-Match": wanted}).status_code == 200
    for unwanted in ('"other"', f"W/{tag}"):
        answer = client.get(path, headers={"If-Match": unwanted})
        assert (answer.status_code, answer.mimetype, answer.get_json()["type"]) == (412, "application/problem+json", "/problems/changed")
        assert "ETag" not in answer.headers
    assert client.get(path, headers={"If-Match": tag, "If-None-Match": tag}).status_code == 304


# What HTTP asks of every request


def test_a_request_of_http_1_1_names_its_host(client: FlaskClient) -> None:
    for version, status in (("HTTP/1.1", 400), ("HTTP/1.0", 200)):
        answer = client.get("/healthz", environ_overrides={"SERVER_PROTOCOL": version, "HTTP_HOST": ""})
        assert answer.status_code == status


def test_the_server_as_a_whole_says_what_it_takes(client: FlaskClient) -> None:
    answer = client.options("/*", environ_overrides={"RAW_URI": "*"})
    assert (answer.status_code, answer.headers["Allow"]) == (204, "GET, HEAD, OPTIONS, POST, QUERY")
    assert client.options("/*").status_code == 404


def test_a_body_that_is_compressed_on_the_way_is_refused(client: FlaskClient, roof: dict[str, Any]) -> None:
    assert client.post("/v1/checks", json=roof, headers={"Transfer-Encoding": "gzip, chunked"}).status_code == 415


# Digests


@pytest.mark.parametrize("path", [*KEPT, "/healthz", "/nowhere"])
def test_every_body_has_its_digest(client: FlaskClient, path: str) -> None:
    answer = client.get(path)
    assert answer.headers["Repr-Digest"] == f"sha-256=:{base64.b64encode(hashlib.sha256(answer.data).digest()).decode()}:"


def test_a_report_has_its_digest_and_is_stored_nowhere(client: FlaskClient, roof: dict[str, Any]) -> None:
    answer = client.post("/v1/checks", json=roof)
    assert answer.headers["Repr-Digest"] == f"sha-256=:{base64.b64encode(hashlib.sha256(answer.data).digest()).decode()}:"
    assert answer.headers["Cache-Control"] == "no-store"
    assert "ETag" not in answer.headers


# Pages of other origins


HOME = "https://estimating.example"


def test_no_other_origin_is_let_in_unless_named(client: FlaskClient) -> None:
    for answer in (client.get("/version", headers={"Origin": HOME}), client.options("/v1/checks", headers={"Origin": HOME})):
        assert not [name for name, _ in answer.headers if name.startswith("Access-Control")]
        assert answer.headers["Cross-Origin-Resource-Policy"] == "same-origin"


def test_an_origin_that_is_named_is_let_in(app: Apps, roof: dict[str, Any]) -> None:
    client = app(Settings(origins=(HOME,))).test_client()
    asked = {"Origin": HOME, "Access-Control-Request-Method": "QUERY", "Access-Control-Request-Headers": "content-type"}
    before = client.options("/v1/checks", headers=asked)
    assert before.headers["Access-Control-Allow-Origin"] == HOME
    assert "QUERY" in before.headers["Access-Control-Allow-Methods"]
    assert before.headers["Access-Control-Allow-Headers"].lower() == "content-type"
    assert before.headers["Access-Control-Max-Age"] == "600"
    answer = client.post("/v1/checks", json=roof, headers={"Origin": HOME})
    assert answer.headers["Access-Control-Allow-Origin"] == HOME
    assert "Repr-Digest" in answer.headers["Access-Control-Expose-Headers"]
    assert "Access-Control-Allow-Credentials" not in answer.headers
    assert answer.headers["Cross-Origin-Resource-Policy"] == "cross-origin"
    assert {"Origin", "Accept"} <= {word.strip() for word in answer.headers["Vary"].split(",")}


def test_a_refusal_is_readable_for_a_named_origin_too(app: Apps) -> None:
    answer = app(Settings(origins=(HOME,))).test_client().post("/v1/checks", json={}, headers={"Origin": HOME})
    assert (answer.status_code, answer.headers["Access-Control-Allow-Origin"]) == (422, HOME)


@pytest.mark.parametrize("origin", ["https://other.example", f"{HOME}.other.example", "null", "http://estimating.example"])
def test_others_stay_out(app: Apps, origin: str) -> None:
    answer = app(Settings(origins=(HOME,))).test_client().get("/version", headers={"Origin": origin})
    assert "Access-Control-Allow-Origin" not in answer.headers


def test_origins_are_set_by_the_environment() -> None:
    assert settings_from({"BIRDSMOUTH_ORIGINS": f" {HOME} , http://127.0.0.1:5173"}).origins == (HOME, "http://127.0.0.1:5173")
    assert settings_from({"BIRDSMOUTH_ORIGINS": "*"}).origins == ("*",)
    with pytest.raises(SettingsRefused, match="BIRDSMOUTH_ORIGINS holds “estimating"):
        settings_from({"BIRDSMOUTH_ORIGINS": "estimating.example"})
