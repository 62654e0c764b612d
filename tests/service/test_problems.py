"""Errors as documents: one shape, a page for every code, and no code anywhere without one."""

import ast
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

import rules
import service
from rules.subject.faults import DesignRefused, Fault
from service.deadline import DeadlinePassed
from service.encoding import NotFinite
from service.kinds import FAULTS
from service.problems import KINDS, Problem, Refusal, problem_of
from service.reading import BodyRefused

FAULT = Fault("/a", "required", "This has to be stated.", hint="Give it.")
ROOTS = [Path(str(top.__file__)).parent for top in (rules, service)]
MAKERS = {"Fault", "Complaint", "against", "_refusal"}


def told_codes() -> set[str]:
    """Every text that stands, anywhere in rules or service, as the code of a fault."""
    return {code for root in ROOTS for file in root.rglob("*.py") for code in codes_in(file.read_text(encoding="utf-8"))}


def codes_in(source: str) -> set[str]:
    calls = (node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name))
    return {code for call in calls if call.func.id in MAKERS for code in [code_of(call)] if code}


def code_of(call: ast.Call) -> str | None:
    """The code is the second argument of Fault, the first of the others, or goes by its name."""
    place = 1 if isinstance(call.func, ast.Name) and call.func.id == "Fault" else 0
    given = call.args[place] if len(call.args) > place else next((word.value for word in call.keywords if word.arg == "code"), None)
    return given.value if isinstance(given, ast.Constant) and isinstance(given.value, str) else None


def test_every_code_of_a_fault_is_explained() -> None:
    codes = told_codes()
    assert len(codes) > 40
    assert codes - set(FAULTS) == set(), "say what they mean in FAULTS of service/kinds.py"


def test_every_explained_code_is_told_somewhere() -> None:
    assert set(FAULTS) - told_codes() == set()


def test_no_code_means_two_things() -> None:
    assert set(FAULTS) & set(KINDS) <= {"not-acceptable", "not-allowed", "token-needed", "unsupported-media-type", "wrong-digest"}


@pytest.mark.parametrize("code", [*KINDS, *FAULTS])
def test_every_code_has_a_page(client: FlaskClient, code: str) -> None:
    told = client.get(f"/problems/{code}").get_json()
    assert told["code"] == code
    assert told["meaning"].endswith(".")
    assert client.get(f"/problems/{code}", headers={"Accept": "text/html"}).status_code == 200


@pytest.mark.parametrize(
    ("error", "code", "status"),
    [
        (BodyRefused(400, (FAULT,)), "unreadable-body", 400),
        (BodyRefused(413, (FAULT,)), "body-too-large", 413),
        (DesignRefused((FAULT,)), "design-refused", 422),
        (DeadlinePassed("late"), "too-slow", 503),
        (NotFinite("/a"), "no-number", 500),
        (Refusal(Problem(KINDS["bad-query"], "no")), "bad-query", 400),
    ],
    ids=lambda value: type(value).__name__,
)
def test_an_exception_of_ours_is_a_problem(error: Exception, code: str, status: int) -> None:
    problem = problem_of(error)
    assert problem is not None
    assert (problem.kind.code, problem.document()["status"]) == (code, status)


@pytest.mark.parametrize("error", [ValueError("x"), KeyError("x"), RecursionError(), MemoryError()])
def test_any_other_exception_is_nobodys_business(error: Exception) -> None:
    assert problem_of(error) is None


def document(count: int, **more: Any) -> dict[str, Any]:
    return Problem(KINDS["design-refused"], "no", faults=(FAULT,) * count, **more).document()


@pytest.mark.parametrize(("count", "told", "more"), [(0, 0, None), (1, 1, None), (100, 100, None), (101, 100, 1), (10_000, 100, 9_900)])
def test_a_hundred_faults_are_told_and_the_rest_counted(count: int, told: int, more: int | None) -> None:
    problem = document(count)
    assert len(problem["errors"]) == told
    assert problem.get("more") == more


def test_what_a_refusal_adds_cannot_hide_what_every_problem_has() -> None:
    problem = document(1, extra={"status": 200, "errors": [], "nodes": ["A"]})
    assert (problem["status"], len(problem["errors"]), problem["nodes"]) == (422, 1, ["A"])
