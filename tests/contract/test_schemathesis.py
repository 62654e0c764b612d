"""Whatever the contract allows, and much that it does not, asked of the whole service: no failure of its own, no answer it does not foresee.

50 000 cases over all operations, and chains of requests along the links of the contract. `make prove`.
"""

import json

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import content_type_conformance, response_schema_conformance, status_code_conformance

from rules.library.loading import load_library
from service.http import create_app
from service.openapi.operations import OPERATIONS

CASES = 50_000
CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
CONTRACT = schemathesis.openapi.from_wsgi("/openapi.yaml", create_app(library=load_library()))
QUIET = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large, HealthCheck.large_base_example]

pytestmark = pytest.mark.prove


@schemathesis.serializer("application/x-ndjson")
def lines(_context: schemathesis.SerializationContext, value: object) -> bytes:
    """A batch is text, a design a line."""
    return value.encode("utf-8", "replace") if isinstance(value, str) else json.dumps(value).encode()


@CONTRACT.parametrize()
@settings(max_examples=CASES // len(OPERATIONS) + 1, deadline=None, suppress_health_check=QUIET)
def test_no_answer_is_unforeseen(case: schemathesis.Case) -> None:
    case.call_and_validate(checks=CHECKS)


def test_no_chain_of_requests_ends_in_an_answer_unforeseen() -> None:
    machine = CONTRACT.as_state_machine()
    machine.validate_response = lambda _self, response, case, **_more: case.validate_response(response, checks=CHECKS)
    run_state_machine_as_test(
        machine, settings=settings(max_examples=500, deadline=None, stateful_step_count=8, suppress_health_check=QUIET)
    )
