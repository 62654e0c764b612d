"""The contract: valid, true to the schemas, true to the routes, and its examples hold."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
import yaml
from contract import CONTRACT
from flask import Flask
from flask.testing import FlaskClient
from openapi_spec_validator import OpenAPIV31SpecValidator
from ruamel.yaml import YAML

from service.http.access import GUARDED
from service.openapi.document import document, reference
from service.openapi.examples import FAULTY_ROOF, SMALL_TRIAL
from service.openapi.operations import OPERATIONS

ROOT = Path(__file__).parents[2]


def parsed(text: bytes | str) -> Any:
    return json.loads(json.dumps(YAML(typ="safe", pure=True).load(text)))


def test_the_committed_file_is_what_the_schemas_say() -> None:
    """To renew it: python -m service.openapi."""
    committed = parsed((ROOT / "openapi.yaml").read_bytes())
    assert committed == json.loads(json.dumps(CONTRACT))
    assert json.dumps(committed) == json.dumps(CONTRACT), "the same, but in another order"


def test_the_served_document_is_the_same(client: FlaskClient) -> None:
    answer = client.get("/openapi.yaml")
    assert answer.content_type == "application/yaml; charset=utf-8"
    assert parsed(answer.data) == parsed(reference())


def test_readers_of_the_older_yaml_take_it_for_the_same() -> None:
    """Under YAML 1.1, which many generators of clients read, a bare `on` is true."""
    assert yaml.safe_load(reference()) == json.loads(json.dumps(CONTRACT))


def test_every_place_in_a_path_has_an_example_that_is_there(client: FlaskClient) -> None:
    for path, operations in CONTRACT["paths"].items():
        places = {each["name"]: each["example"] for each in operations.get("get", {}).get("parameters", ()) if each["in"] == "path"}
        if places:
            assert client.get(path.format(**places)).status_code == 200


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


def test_operations_and_routes_are_the_same(app: Flask) -> None:
    routes = {
        (method.lower(), rule.rule.replace("<", "{").replace(">", "}"))
        for rule in app.url_map.iter_rules()
        for method in rule.methods or ()
    }
    assert {route for route in routes if route[0] not in ("head", "options", "query")} == {
        (operation.method, operation.path) for operation in OPERATIONS
    }


def test_the_example_of_a_trial_is_sound(client: FlaskClient) -> None:
    shown = CONTRACT["paths"]["/v1/trials"]["post"]["requestBody"]["content"]["application/json"]["examples"][SMALL_TRIAL[0]]["value"]
    told = client.post("/v1/trials", json=shown).get_json()
    assert told["faults"] == []
    assert all(rule["sound"] for rule in told["rules"])


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


def test_where_a_token_may_be_asked_for_one_may_be_sent() -> None:
    told = document()
    assert told["components"]["securitySchemes"]["token"]["scheme"] == "bearer"
    for path, operations in told["paths"].items():
        for operation in operations.values():
            assert operation.get("security") == ([{}, {"token": []}] if path.startswith(GUARDED) else None), path
