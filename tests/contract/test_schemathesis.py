"""Whatever the contract allows, and much that it does not, asked of the whole service: no failure of its own, no answer it does not foresee.

At least 50 000 cases over all operations, and chains of requests along the links of the contract. `make prove`; PROVE_SHARE=0.01 asks a
hundredth of them.
"""

import json
import os
import time
from collections import Counter
from collections.abc import Iterator
from wsgiref.types import WSGIApplication

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import content_type_conformance, response_schema_conformance, status_code_conformance

from rules.library.loading import load_library
from service.http import create_app
from service.openapi.operations import OPERATIONS
from service.settings import Settings

SHARE = float(os.environ.get("PROVE_SHARE", "1"))
PATIENT = Settings(deadline_s=600.0)
"""A busy machine must not turn these answers into 503: how long they take is asked elsewhere."""
CASES = int(50_000 * SHARE)
OPEN = sum(operation.takes is not None or operation.lines or bool(operation.places) for operation in OPERATIONS)
"""Operations that can be asked in more ways than one."""
CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]


def from_this_machine(app: WSGIApplication) -> WSGIApplication:
    """The application as a caller on the same machine meets it: from elsewhere without a token all answers would be 403."""
    return lambda environ, start: app({**environ, "REMOTE_ADDR": "127.0.0.1"}, start)


CONTRACT = schemathesis.openapi.from_wsgi("/openapi.yaml", from_this_machine(create_app(PATIENT, load_library())))
CONTRACT.config.phases.coverage.enabled = SHARE >= 1.0
QUIET = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large, HealthCheck.large_base_example]

pytestmark = pytest.mark.prove


@pytest.fixture(scope="module")
def asked() -> Iterator[Counter[str]]:
    """How many cases were answered with what status; printed at the end."""
    told: Counter[str] = Counter()
    began = time.monotonic()
    yield told
    taken = time.monotonic() - began
    print(f"\nschemathesis: {told.total()} cases, {told.total() / taken:.1f} a second, {taken / 60:.1f} min: {dict(sorted(told.items()))}")


@schemathesis.serializer("application/x-ndjson")
def lines(_context: schemathesis.SerializationContext, value: object) -> bytes:
    """A batch is text, a design a line."""
    return value.encode("utf-8", "replace") if isinstance(value, str) else json.dumps(value).encode()


@CONTRACT.parametrize()
@settings(max_examples=CASES // OPEN + 1, deadline=None, suppress_health_check=QUIET)
def test_no_answer_is_unforeseen(case: schemathesis.Case, asked: Counter[str]) -> None:
    answer = case.call_and_validate(checks=CHECKS)
    asked[str(answer.status_code)] += 1


def test_no_chain_of_requests_ends_in_an_answer_unforeseen(asked: Counter[str]) -> None:
    def watched(_self: object, response: object, case: schemathesis.Case, **_more: object) -> None:
        asked[str(response.status_code)] += 1
        case.validate_response(response, checks=CHECKS)

    machine = CONTRACT.as_state_machine()
    machine.validate_response = watched
    run_state_machine_as_test(
        machine, settings=settings(max_examples=int(500 * SHARE) + 1, deadline=None, stateful_step_count=8, suppress_health_check=QUIET)
    )


def test_as_many_were_asked_as_are_claimed(asked: Counter[str]) -> None:
    assert asked.total() >= CASES or SHARE < 1.0
    assert asked["500"] == 0
    assert asked["200"] > 0
    assert asked["422"] > asked["403"]
