"""What a batch answers is what the contract says, line by line."""

import json
from typing import Any

import jsonschema_rs
import pytest
from contract import CONTRACT
from flask.testing import FlaskClient

OPERATION = CONTRACT["paths"]["/v1/checks/batch"]["post"]
NDJSON = "application/x-ndjson"


def holds(name: str, value: Any) -> None:
    jsonschema_rs.validate({"$ref": f"#/components/schemas/{name}", "components": CONTRACT["components"]}, value)


def test_the_example_is_answered_line_by_line_in_the_shapes_promised(client: FlaskClient) -> None:
    example = OPERATION["requestBody"]["content"][NDJSON]["examples"]["two-lines"]["value"]
    answer = client.post("/v1/checks/batch", data=example.encode(), content_type=NDJSON)
    assert answer.mimetype in OPERATION["responses"]["200"]["content"]
    good, bad, last = map(json.loads, answer.data.splitlines())
    holds("Report", good["report"])
    holds("Problem", bad["problem"])
    assert (good["status"], bad["status"], last) == (200, 422, {"lines": 2, "failed": 1})


@pytest.mark.parametrize(
    ("asked", "status"),
    [
        ({"data": b"", "content_type": NDJSON}, 400),
        ({"data": b"{}\n", "content_type": "text/plain"}, 415),
        ({"data": b"{}\n", "content_type": NDJSON, "headers": {"Accept": "text/html"}}, 406),
        ({"data": b"{}\n" * 1001, "content_type": NDJSON}, 413),
    ],
)
def test_its_refusals_are_foreseen(client: FlaskClient, asked: dict[str, Any], status: int) -> None:
    answer = client.post("/v1/checks/batch", **asked)
    assert answer.status_code == status
    assert str(status) in OPERATION["responses"]
    holds("Problem", answer.get_json())
