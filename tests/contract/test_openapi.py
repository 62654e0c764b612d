"""The contract: valid, true to the schemas, true to the routes, and kept by every answer."""

import copy
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openapi_spec_validator import OpenAPIV31SpecValidator
from ruamel.yaml import YAML
from werkzeug.test import TestResponse

from rules.library.json_schemas import SHAPES
from rules.library.loading import Library, load_library
from rules.subject.faults import DesignRefused
from service.http import create_app
from service.openapi.document import document, reference
from service.openapi.examples import FAULTY_ROOF, SMALL_COMPARISON, SMALL_JOB, SMALL_ROOF, SMALL_SIZING, SMALL_TRIAL
from service.openapi.operations import OPERATIONS
from service.schemas.loading import validate
from service.settings import Settings

ROOT = Path(__file__).parents[2]
CONTRACT = document()
DESIGNS = sorted((ROOT / "service" / "demo" / "designs").glob("*.json"))
BODIES = {"example": SMALL_ROOF, **{file.stem: json.loads(file.read_text(encoding="utf-8")) for file in DESIGNS}}


def parsed(text: bytes | str) -> Any:
    return json.loads(json.dumps(YAML(typ="safe", pure=True).load(text)))


PATIENT = Settings(deadline_s=600.0)
"""A busy machine must not turn these answers into 503: how long they take is asked elsewhere."""


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="module")
def app(library: Library) -> Flask:
    return create_app(PATIENT, library)


@pytest.fixture(scope="module")
def client(app: Flask) -> FlaskClient:
    return app.test_client()


# The document itself


def test_the_committed_file_is_what_the_schemas_say() -> None:
    """To renew it: python -m service.openapi."""
    committed = parsed((ROOT / "openapi.yaml").read_bytes())
    assert committed == json.loads(json.dumps(CONTRACT))
    assert json.dumps(committed) == json.dumps(CONTRACT), "the same, but in another order"


def test_the_served_document_is_the_same(client: FlaskClient) -> None:
    answer = client.get("/openapi.yaml")
    assert answer.content_type == "application/yaml; charset=utf-8"
    assert parsed(answer.data) == parsed(reference())


def test_the_document_is_valid_openapi() -> None:
    OpenAPIV31SpecValidator(json.loads(json.dumps(CONTRACT))).validate()


def test_every_component_is_valid_json_schema_with_a_description() -> None:
    for name, schema in CONTRACT["components"]["schemas"].items():
        jsonschema_rs.validator_for({"$ref": f"#/components/schemas/{name}", "components": CONTRACT["components"]})
        assert schema["description"].endswith("."), name


def objects(request: bool) -> Iterator[tuple[str, dict[str, Any]]]:
    asked = reachable("Design") | reachable("Trial") | reachable("Comparison") | reachable("Sizing") | reachable("Job")
    taken = asked if request else set(CONTRACT["components"]["schemas"]) - asked
    return ((name, CONTRACT["components"]["schemas"][name]) for name in sorted(taken))


def reachable(name: str) -> set[str]:
    found, waiting = set(), [name]
    while waiting:
        here = waiting.pop()
        if here not in found:
            found.add(here)
            text = json.dumps(CONTRACT["components"]["schemas"][here])
            waiting += [other for other in CONTRACT["components"]["schemas"] if f'"#/components/schemas/{other}"' in text]
    return found


def test_what_is_taken_is_closed_and_what_is_given_is_open() -> None:
    assert {schema["additionalProperties"] for _, schema in objects(request=True)} == {False}
    assert {schema["additionalProperties"] for _, schema in objects(request=False)} == {True}


def test_every_field_that_is_taken_says_what_it_means_and_every_number_its_unit() -> None:
    for name, schema in objects(request=True):
        for field, told in schema["properties"].items():
            assert "description" in told, f"{name}.{field}"
            assert told.get("type") not in ("number", ["number", "null"]) or "x-unit" in told, f"{name}.{field}"


def test_units_agree_with_the_names_they_end() -> None:
    endings = {
        "_mm": "mm", "_m": "m", "_deg": "°", "_kn": "kN", "_knm": "kNm", "_kn_per_m": "kN/m", "_kn_per_m2": "kN/m²", "_mpa": "N/mm²", "_m_per_s": "m/s",
        "_kg_per_m3": "kg/m³", "_kn_per_mm": "kN/mm", "_mm2": "mm²", "_mm3": "mm³", "_mm4": "mm⁴", "knm_per_rad": "kNm/rad",
        "_nm2_per_m": "N·m²/m", "_n_per_mm": "N/mm", "cost_per_m": "1/m",
    }  # fmt: skip
    for name, schema in objects(request=True):
        for field, told in schema["properties"].items():
            ending = max((each for each in endings if field.endswith(each)), key=len, default=None)
            if ending and "x-unit" in told and field != "gamma_m":
                assert told["x-unit"] == endings[ending], f"{name}.{field}"


def test_the_limits_of_a_request_are_published_alike(client: FlaskClient) -> None:
    limits = client.get("/version").get_json()["limits"]
    assert CONTRACT["info"]["x-limits"].items() <= limits.items()
    assert {"body_bytes", "depth", "values", "deadline_s", "waiting"} <= set(limits)


# The routes


def test_operations_and_routes_are_the_same(app: Flask) -> None:
    routes = {
        (method.lower(), rule.rule.replace("<", "{").replace(">", "}"))
        for rule in app.url_map.iter_rules()
        for method in rule.methods or ()
    }
    assert {route for route in routes if route[0] not in ("head", "options", "query")} == {
        (operation.method, operation.path) for operation in OPERATIONS
    }


# Answers


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


def test_the_example_of_a_trial_is_sound(client: FlaskClient) -> None:
    shown = CONTRACT["paths"]["/v1/trials"]["post"]["requestBody"]["content"]["application/json"]["examples"][SMALL_TRIAL[0]]["value"]
    told = client.post("/v1/trials", json=shown).get_json()
    assert told["faults"] == []
    assert all(rule["sound"] for rule in told["rules"])


@pytest.mark.parametrize("asked", WRONG.values(), ids=WRONG)
@pytest.mark.parametrize("path", ["/v1/checks", "/v1/analyses"])
def test_problems_keep_the_contract(client: FlaskClient, path: str, asked: dict[str, Any]) -> None:
    answer = client.post(path, **asked)
    assert answer.status_code >= 400
    keeps(answer, "post", path)


@pytest.mark.parametrize("path", ["/v1/packs/{pack}", "/v1/rules/{pack}/{rule}"])
def test_unknown_names_keep_the_contract(client: FlaskClient, path: str) -> None:
    keeps(client.get(path.format(pack="lead", rule="soft")), "get", path)


def test_a_library_that_is_not_ready_keeps_the_contract() -> None:
    keeps(create_app(library=Library(())).test_client().get("/readyz"), "get", "/readyz")


# Examples


def test_the_example_of_a_design_can_be_checked(client: FlaskClient) -> None:
    shown = CONTRACT["paths"]["/v1/checks"]["post"]["requestBody"]["content"]["application/json"]["examples"]["small-roof"]["value"]
    report = client.post("/v1/checks", json=shown).get_json()
    assert report["reference"] == "BOATHOUSE-R1"
    assert report["verdict"] in ("pass", "fail", "open", "review")


def test_the_example_of_a_problem_is_what_is_answered(client: FlaskClient) -> None:
    shown = CONTRACT["components"]["responses"]["Problem422"]["content"]["application/problem+json"]["examples"]["two-slips"]["value"]
    problem = client.post("/v1/checks", json=FAULTY_ROOF).get_json()
    assert {name: value for name, value in problem.items() if name != "instance"} == json.loads(json.dumps(shown))


def examples(request: bool) -> Iterator[tuple[str, dict[str, Any], Any]]:
    for name, schema in objects(request):
        for field, told in schema["properties"].items():
            for example in told.get("examples", ()):
                yield f"{name}.{field}", told, example


@pytest.mark.parametrize(
    ("told", "example"),
    [(told, example) for _, told, example in examples(request=True)],
    ids=[name for name, _, _ in examples(request=True)],
)
def test_the_example_of_a_field_is_one_it_takes(told: dict[str, Any], example: Any) -> None:
    jsonschema_rs.validate({**told, "components": CONTRACT["components"]}, example)


# The published schema takes what the service takes

DESIGN = jsonschema_rs.validator_for({"$ref": "#/components/schemas/Design", "components": CONTRACT["components"]}, validate_formats=True)
VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-2, 8), st.floats(-1e7, 1e7), st.just(1.5), st.text(st.characters(exclude_categories=("Cs",)), max_size=6),
    st.sampled_from(["A ", " A", "A\n", "\u202e", "none", "pinned", "2026-11-25", "2026-02-30", "free", "x" * 65, "GB", "a/b", "down", ""]),
    st.lists(st.integers(0, 2) | st.sampled_from(["x", "A"]), max_size=4),
    st.sampled_from([{}, {"knm_per_rad": 1}, {"none_because": "r"}, {"b_mm": 1, "h_mm": 1}, {"a/b": "note"}, {"": "note"}, {"k": {"value": 1, "reason": "r"}}]),
)  # fmt: skip
NAMES = st.sampled_from([
    "plies", "ends", "treatment", "bracing", "joints", "codes", "levels", "as_of", "parameters", "waivers", "baseline", "free", "anywhere", "springs",
    "settlement_mm", "title", "count", "moment_knm", "at_mm", "offset_mm", "x", "site", "service_class", "country", "in_plane_mm",
])  # fmt: skip


def places(value: Any, steps: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, item in inner:
        yield (*steps, step)
        yield from places(item, (*steps, step))


def changed(data: st.DataObject) -> Any:
    design: Any = copy.deepcopy(SMALL_ROOF)
    *way, last = data.draw(st.sampled_from(list(places(design))))
    holder = design
    for step in way:
        holder = holder[step]
    if isinstance(holder, dict) and data.draw(st.booleans()):
        last = data.draw(NAMES)
    if isinstance(holder, list) or data.draw(st.integers(0, 5)):
        holder[last] = data.draw(VALUES)
    else:
        holder.pop(last, None)
    return design


def taken(design: Any) -> bool:
    try:
        validate(design)
    except DesignRefused:
        return False
    return True


@settings(max_examples=1000, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_a_changed_design_is_taken_by_both_or_by_neither(data: st.DataObject) -> None:
    """The fields, one by one; what has to hold between fields is for the service alone."""
    design = changed(data)
    assert taken(design) == DESIGN.is_valid(design)


@pytest.mark.parametrize("design", BODIES.values(), ids=BODIES)
def test_good_designs_are_taken_by_both(design: Any) -> None:
    assert taken(design)
    assert DESIGN.is_valid(design)
