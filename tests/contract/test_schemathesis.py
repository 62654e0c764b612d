"""Whatever the contract allows, and much that it does not, asked of the whole service: no failure of its own, no answer it does not foresee.

At least 50 000 cases over all operations, and chains of requests along the links of the contract. `make prove`; PROVE_SHARE=0.01 asks a
hundredth of them.
"""

import json
import os
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from wsgiref.types import WSGIApplication

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test
from patience import PATIENT
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import content_type_conformance, response_schema_conformance, status_code_conformance

from rules.library.loading import load_library
from service.http import create_app
from service.openapi.operations import OPERATIONS

SHARE = float(os.environ.get("PROVE_SHARE", "1"))
CASES = int(50_000 * SHARE)
OPEN = [operation for operation in OPERATIONS if operation.takes is not None or operation.lines or operation.places]
"""Operations that can be asked in more ways than one."""
MANY, DEAR = ["doJob", "size", "compare", "tryPack", "checkBatch"], ["check", "analyse", "expand"]
"""Operations that check several designs at a request, and one: some hundred times and ten times the work of the others."""
FOR_MANY, FOR_DEAR = int(1_000 * SHARE) + 1, int(6_000 * SHARE) + 1
FOR_OTHERS = max(0, CASES - FOR_MANY * len(MANY) - FOR_DEAR * len(DEAR)) // (len(OPEN) - len(MANY) - len(DEAR)) + 1
"""Cases of each operation: the quick ones carry what is left of all."""
CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]


def from_this_machine(app: WSGIApplication) -> WSGIApplication:
    """The application as a caller on the same machine meets it: from elsewhere without a token all answers would be 403."""
    return lambda environ, start: app({**environ, "REMOTE_ADDR": "127.0.0.1"}, start)


CONTRACT = schemathesis.openapi.from_wsgi("/openapi.yaml", from_this_machine(create_app(PATIENT, load_library())))
CONTRACT.config.phases.coverage.enabled = SHARE >= 1.0
QUIET = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large, HealthCheck.large_base_example]

pytestmark = pytest.mark.prove


@dataclass
class Asked:
    """How many cases were answered with what status, and how many each operation had."""

    statuses: Counter[str] = field(default_factory=Counter)
    operations: Counter[str] = field(default_factory=Counter)
    seconds: dict[str, float] = field(default_factory=lambda: defaultdict(float))

    def count(self, case: schemathesis.Case, status: int, seconds: float) -> None:
        name = case.operation.label
        self.statuses[str(status)] += 1
        self.operations[name] += 1
        self.seconds[name] += seconds


@pytest.fixture(scope="module")
def asked() -> Iterator[Asked]:
    """What was asked and answered; printed at the end."""
    told, began = Asked(), time.monotonic()
    yield told
    taken, cases = time.monotonic() - began, told.statuses.total()
    each = "; ".join(f"{name} {count} in {told.seconds[name]:.0f} s" for name, count in told.operations.most_common())
    print(
        f"\nschemathesis: {cases} cases, {cases / taken:.1f} a second, {taken / 60:.1f} min: {dict(sorted(told.statuses.items()))}; {each}"
    )


@schemathesis.serializer("application/x-ndjson")
def lines(_context: schemathesis.SerializationContext, value: object) -> bytes:
    """A batch is text, a design a line."""
    return value.encode("utf-8", "replace") if isinstance(value, str) else json.dumps(value).encode()


def looked_at(case: schemathesis.Case, asked: Asked) -> None:
    began = time.monotonic()
    answer = case.call_and_validate(checks=CHECKS)
    asked.count(case, answer.status_code, time.monotonic() - began)


@CONTRACT.include(operation_id=MANY).parametrize()
@settings(max_examples=FOR_MANY, deadline=None, suppress_health_check=QUIET)
def test_no_answer_about_many_designs_is_unforeseen(case: schemathesis.Case, asked: Asked) -> None:
    looked_at(case, asked)


@CONTRACT.include(operation_id=DEAR).parametrize()
@settings(max_examples=FOR_DEAR, deadline=None, suppress_health_check=QUIET)
def test_no_answer_about_a_design_is_unforeseen(case: schemathesis.Case, asked: Asked) -> None:
    looked_at(case, asked)


@CONTRACT.exclude(operation_id=[*MANY, *DEAR]).parametrize()
@settings(max_examples=FOR_OTHERS, deadline=None, suppress_health_check=QUIET)
def test_no_other_answer_is_unforeseen(case: schemathesis.Case, asked: Asked) -> None:
    looked_at(case, asked)


def test_no_chain_of_requests_ends_in_an_answer_unforeseen(asked: Asked) -> None:
    def watched(_self: object, response: schemathesis.Response, case: schemathesis.Case, **_more: object) -> None:
        asked.count(case, response.status_code, response.elapsed)
        case.validate_response(response, checks=CHECKS)

    machine = CONTRACT.as_state_machine()
    machine.validate_response = watched
    run_state_machine_as_test(
        machine, settings=settings(max_examples=int(500 * SHARE) + 1, deadline=None, stateful_step_count=8, suppress_health_check=QUIET)
    )


def test_as_many_were_asked_as_are_claimed(asked: Asked) -> None:
    assert asked.statuses.total() >= CASES
    assert len(asked.operations) == len(OPERATIONS) - 1, "all but the contract itself, which was read to begin with"
    assert asked.statuses["500"] == 0
    assert asked.statuses["200"] > 0
    assert asked.statuses["422"] > asked.statuses["403"]
