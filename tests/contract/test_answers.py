"""Every answer keeps the contract: a status it foresees, and a body of the shape it promises."""

import json
from typing import Any

import jsonschema_rs
import pytest
from contract import BODIES, CONTRACT
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from rules.library.json_schemas import SHAPES
from rules.library.loading import Library
from service.http import create_app
from service.openapi.examples import FAULTY_ROOF, SMALL_COMPARISON, SMALL_JOB, SMALL_ROOF, SMALL_SIZING, SMALL_TRIAL


def keeps(answer: TestResponse, method: str, path: str) -> None:
    """Raise unless the contract foresees this status and media type here, and the body has the shape it promises."""
    responses = CONTRACT["paths"][path][method]["responses"]
    assert str(answer.status_code) in responses, f"{answer.status_code} is not foreseen at {path}"
    promised = responses[str(answer.status_code)]
    if "$ref" in promised:
        promised = CONTRACT["components"]["responses"][promised["$ref"].rpartition("/")[2]]
    schema = promised["content"][answer.mimetype]["schema"]
    if answer.is_json:
        jsonschema_rs.validate({**schema, "components": CONTRACT["components"]}, json.loads(answer.data))


@pytest.mark.parametrize("query", ["", "?include=all&working=all&response=combinations", "?working=none&response=none"])
@pytest.mark.parametrize("name", BODIES)
def test_reports_keep_the_contract(client: FlaskClient, name: str, query: str) -> None:
    answer = client.post(f"/v1/checks{query}", json=BODIES[name])
    assert answer.status_code == 200, answer.text
    keeps(answer, "post", "/v1/checks")


@pytest.mark.parametrize("name", BODIES)
def test_reports_as_text_and_analyses_keep_the_contract(client: FlaskClient, name: str) -> None:
    text = client.post("/v1/checks", json=BODIES[name], headers={"Accept": "text/plain"})
    assert text.content_type == "text/plain; charset=utf-8"
    keeps(text, "post", "/v1/checks")
    analysis = client.post("/v1/analyses", json=BODIES[name])
    assert analysis.status_code == 200
    keeps(analysis, "post", "/v1/analyses")


def test_packs_and_rules_keep_the_contract(client: FlaskClient, library: Library) -> None:
    keeps(client.get("/v1/packs"), "get", "/v1/packs")
    seen = 0
    for pack in library.packs:
        page = client.get(f"/v1/packs/{pack.id}")
        assert page.status_code == 200
        keeps(page, "get", "/v1/packs/{pack}")
        for rule in page.get_json()["rules"]:
            keeps(client.get(f"/v1/rules/{rule['id']}"), "get", "/v1/rules/{pack}/{rule}")
            seen += 1
    assert seen > 20


@pytest.mark.parametrize("path", ["/", "/healthz", "/readyz", "/version", "/openapi.yaml"])
def test_pages_keep_the_contract(client: FlaskClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 200
    keeps(answer, "get", path)


@pytest.mark.parametrize("code", ["design-refused", "bent-piece", "nothing"])
@pytest.mark.parametrize("accept", ["application/json", "text/html"])
def test_explanations_keep_the_contract(client: FlaskClient, code: str, accept: str) -> None:
    keeps(client.get(f"/problems/{code}", headers={"Accept": accept}), "get", "/problems/{code}")


WRONG: dict[str, dict[str, Any]] = {
    "not JSON": {"data": b"{", "content_type": "application/json"},
    "no design": {"json": {}},
    "the faulty example": {"json": FAULTY_ROOF},
    "too large": {"data": b" " * (2**21 + 1), "content_type": "application/json"},
    "of another type": {"data": b"{}"},
    "for a picture": {"json": {}, "headers": {"Accept": "image/png"}},
    "with another option": {"json": {}, "query_string": {"x": "1"}},
}
TRIAL = SMALL_TRIAL[2]


@pytest.mark.parametrize("designs", [[], TRIAL["designs"], [FAULTY_ROOF, SMALL_ROOF]])
@pytest.mark.parametrize("files", [TRIAL["files"], {"pack.yaml": "id: [x\n"}])
def test_trials_keep_the_contract(client: FlaskClient, files: dict[str, str], designs: list[Any]) -> None:
    answer = client.post("/v1/trials", json={"files": files, "designs": designs})
    assert answer.status_code == 200, answer.text
    keeps(answer, "post", "/v1/trials")


@pytest.mark.parametrize("asked", WRONG.values(), ids=WRONG)
def test_refused_trials_keep_the_contract(client: FlaskClient, asked: dict[str, Any]) -> None:
    answer = client.post("/v1/trials", **asked)
    assert answer.status_code >= 400
    keeps(answer, "post", "/v1/trials")
    keeps(client.post("/v1/trials", json=TRIAL, environ_base={"REMOTE_ADDR": "192.0.2.1"}), "post", "/v1/trials")


@pytest.mark.parametrize("accept", ["application/json", "text/plain", "text/markdown", "text/html"])
@pytest.mark.parametrize("query", ["", "?include=all"])
def test_comparisons_keep_the_contract(client: FlaskClient, accept: str, query: str) -> None:
    answer = client.post(f"/v1/comparisons{query}", json=SMALL_COMPARISON[2], headers={"Accept": accept})
    assert answer.status_code == 200, answer.text
    keeps(answer, "post", "/v1/comparisons")


@pytest.mark.parametrize("asked", [*WRONG.values(), {"json": {"sides": [{"name": "a", "design": FAULTY_ROOF}, {"name": "b"}]}}])
def test_refused_comparisons_keep_the_contract(client: FlaskClient, asked: dict[str, Any]) -> None:
    answer = client.post("/v1/comparisons", **asked)
    assert answer.status_code >= 400
    keeps(answer, "post", "/v1/comparisons")


@pytest.mark.parametrize("accept", ["application/json", "text/plain", "text/markdown", "text/html"])
@pytest.mark.parametrize("allow", [[], ["open", "review"]])
def test_sizings_keep_the_contract(client: FlaskClient, accept: str, allow: list[str]) -> None:
    answer = client.post("/v1/sizings", json={**SMALL_SIZING[2], "allow": allow}, headers={"Accept": accept})
    assert answer.status_code == 200, answer.text
    keeps(answer, "post", "/v1/sizings")


@pytest.mark.parametrize("asked", [*WRONG.values(), {"json": {**SMALL_SIZING[2], "design": FAULTY_ROOF}}])
def test_refused_sizings_keep_the_contract(client: FlaskClient, asked: dict[str, Any]) -> None:
    answer = client.post("/v1/sizings", **asked)
    assert answer.status_code >= 400
    keeps(answer, "post", "/v1/sizings")


@pytest.mark.parametrize("accept", ["application/json", "text/plain", "text/markdown", "text/html"])
@pytest.mark.parametrize("stop_on", [None, "refused"])
def test_jobs_keep_the_contract(client: FlaskClient, accept: str, stop_on: str | None) -> None:
    job = {**SMALL_JOB[2], "designs": [FAULTY_ROOF, *SMALL_JOB[2]["designs"][1:]], "stop_on": stop_on}
    answer = client.post("/v1/jobs", json=job, headers={"Accept": accept})
    assert answer.status_code == 200, answer.text
    keeps(answer, "post", "/v1/jobs")


@pytest.mark.parametrize(
    "asked", [*[each for name, each in WRONG.items() if name != "too large"], {"json": {**SMALL_JOB[2], "designs": []}}]
)
def test_refused_jobs_keep_the_contract(client: FlaskClient, asked: dict[str, Any]) -> None:
    answer = client.post("/v1/jobs", **asked)
    assert answer.status_code >= 400
    keeps(answer, "post", "/v1/jobs")


@pytest.mark.parametrize("name", [*SHAPES, "lead"])
@pytest.mark.parametrize("accept", ["*/*", "application/json", "image/png"])
def test_schemas_keep_the_contract(client: FlaskClient, name: str, accept: str) -> None:
    keeps(client.get(f"/v1/schemas/{name}", headers={"Accept": accept}), "get", "/v1/schemas/{name}")


@pytest.mark.parametrize("asked", WRONG.values(), ids=WRONG)
@pytest.mark.parametrize("path", ["/v1/checks", "/v1/analyses"])
def test_problems_keep_the_contract(client: FlaskClient, path: str, asked: dict[str, Any]) -> None:
    answer = client.post(path, **asked)
    assert answer.status_code >= 400
    keeps(answer, "post", path)


@pytest.mark.parametrize("path", ["/v1/packs/{pack}", "/v1/rules/{pack}/{rule}"])
def test_unknown_names_keep_the_contract(client: FlaskClient, path: str) -> None:
    keeps(client.get(path.format(pack="lead", rule="soft")), "get", path)


@pytest.mark.parametrize(("path", "there"), [("eurocode-timber/sheer", "shear"), ("eurocode/shear", "eurocode-timber")])
def test_an_unknown_rule_is_told_those_of_its_pack_and_an_unknown_pack_those_there_are(client: FlaskClient, path: str, there: str) -> None:
    (fault,) = client.get(f"/v1/rules/{path}").get_json()["errors"]
    assert fault["found"] == path
    assert there in fault["allowed"]


def test_a_library_that_is_not_ready_keeps_the_contract() -> None:
    keeps(create_app(library=Library(())).test_client().get("/readyz"), "get", "/readyz")
