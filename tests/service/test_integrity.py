"""Content-Digest: a body that is not what was announced is refused, and answers announce themselves."""

import base64
import hashlib
import json

import pytest
from flask.testing import FlaskClient
from patience import PATIENT
from werkzeug.test import TestResponse

from service.http import create_app
from service.openapi.examples import SMALL_ROOF

BODY = json.dumps(SMALL_ROOF).encode()


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app(PATIENT).test_client()


def digest(content: bytes, name: str = "sha256") -> str:
    return f"sha-{name[3:]}=:{base64.b64encode(hashlib.new(name, content).digest()).decode()}:"


def posted(client: FlaskClient, header: str, path: str = "/v1/expansions", kind: str = "application/json") -> TestResponse:
    return client.post(path, data=BODY, content_type=kind, headers={"Content-Digest": header})


@pytest.mark.parametrize("name", ["sha256", "sha512"])
@pytest.mark.parametrize(("path", "kind"), [("/v1/expansions", "application/json"), ("/v1/checks/batch", "application/x-ndjson")])
def test_what_was_announced_is_taken_and_what_was_not_is_refused(client: FlaskClient, name: str, path: str, kind: str) -> None:
    with posted(client, digest(BODY, name), path, kind) as taken:  # a batch keeps its files until its answer is read or closed
        assert taken.status_code == 200
    answer = posted(client, digest(BODY + b" ", name), path, kind)
    assert answer.status_code == 400
    told = answer.get_json()
    assert told["type"] == "/problems/wrong-digest"
    assert told["errors"][0]["found"] == digest(BODY, name)


def test_every_digest_of_a_known_kind_has_to_match(client: FlaskClient) -> None:
    assert posted(client, f"{digest(BODY)}, {digest(BODY, 'sha512')}").status_code == 200
    assert posted(client, f"{digest(BODY)}, {digest(b'', 'sha512')}").status_code == 400
    assert posted(client, f"md5=:AAAA:, {digest(BODY)}").status_code == 200
    assert posted(client, "md5=:AAAA:").status_code == 200


@pytest.mark.parametrize("header", ["sha-256", "sha-256=abc", "sha-256=:a:", "sha-256=:====:", "=::", ",", "sha-256=:AAAA:;x"])
def test_a_header_that_cannot_be_read_is_refused(client: FlaskClient, header: str) -> None:
    assert posted(client, header).get_json()["type"] == "/problems/wrong-digest"


def test_answers_announce_their_content(client: FlaskClient) -> None:
    answer = client.post("/v1/expansions", json=SMALL_ROOF)
    assert answer.headers["Content-Digest"] == answer.headers["Repr-Digest"] == digest(answer.data)
    page = client.get("/v1/packs")
    assert page.headers["Content-Digest"] == digest(page.data)
    same = client.get("/v1/packs", headers={"If-None-Match": page.headers["ETag"]})
    assert same.status_code == 304
    assert "Content-Digest" not in same.headers
