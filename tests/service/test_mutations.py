"""Any damage to a good design is answered with a report or with a problem: never a 500, never another kind of error."""

import copy
import json
import os
import time
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from changing import places
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from patience import PATIENT

from rules.library.loading import load_library
from service.http import create_app
from service.openapi.examples import SMALL_ROOF

SHARE = float(os.environ.get("PROVE_SHARE", "1"))
VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-10, 10), st.sampled_from([10**400, -(10**25), 2**53 + 1, 0, -1]),
    st.floats(allow_nan=True, allow_infinity=True), st.text(max_size=8),
    st.sampled_from(["A", "B", "R1", "snow", "none", "pinned", "rigid", "down", "suction", "upper", "C24", "2026-11-25", "\u0000", "\ud800", "1e3", "__class__"]),
    st.lists(st.integers(-1, 1), max_size=3), st.dictionaries(st.sampled_from(["id", "member", "node", "x_mm", "none_because", "a"]), st.integers(), max_size=2),
)  # fmt: skip


def damage(document: Any, data: st.DataObject) -> Any:
    """Take a value out, put another in, double an item, move one to elsewhere, or add a member."""
    steps = data.draw(st.sampled_from([(), *places(document)]))
    if not steps:
        return data.draw(VALUES) if data.draw(st.integers(0, 9)) == 0 else document
    *way, last = steps
    holder = document
    for step in way:
        holder = holder[step]
    match data.draw(st.sampled_from(["take", "put", "put", "put", "double", "add"])):
        case "take":
            del holder[last]
        case "put":
            holder[last] = data.draw(VALUES)
        case "double" if isinstance(holder, list):
            holder.append(copy.deepcopy(holder[last]))
        case _ if isinstance(holder, dict):
            holder[data.draw(st.sampled_from(["id", "free", "plies", "moment_knm", "springs", "waivers", "bracing", "ends", "x"]))] = (
                data.draw(VALUES)
            )
    return document


@pytest.fixture(scope="module")
def real() -> FlaskClient:
    """The whole service, with the packs that ship."""
    return create_app(PATIENT, load_library()).test_client()


@pytest.fixture
def paper(app: Callable[..., Flask]) -> FlaskClient:
    return app().test_client()


def answered(client: FlaskClient, path: str, document: Any) -> int:
    """Its status; raises unless the answer is a report or a problem."""
    body = json.dumps(document).encode("utf-8", "replace")
    answer = client.post(path, data=body, content_type="application/json")
    told = answer.get_json()
    if answer.status_code == 200:
        assert told["reference"] == document["reference"]
        return 200
    assert answer.status_code in (400, 422), told
    assert answer.content_type == "application/problem+json"
    assert told["errors"]
    assert all(fault["pointer"] == "" or fault["pointer"].startswith("/") for fault in told["errors"])
    return answer.status_code


EASY = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture])


@EASY
@given(st.data())
def test_damage_is_answered_by_the_edge_alone(paper: FlaskClient, data: st.DataObject) -> None:
    document = copy.deepcopy(SMALL_ROOF)
    for _ in range(data.draw(st.integers(1, 4))):
        document = damage(document, data)
    answered(paper, "/v1/checks", document)


PATHS = st.sampled_from(["/v1/checks", "/v1/analyses"])


@settings(EASY, max_examples=150)
@given(st.data(), PATHS)
def test_damage_is_answered_by_the_whole_service(real: FlaskClient, data: st.DataObject, path: str) -> None:
    slightly_damaged(real, data, path)


def test_a_roof_that_is_all_but_flat_is_refused_in_words(real: FlaskClient) -> None:
    """Its pieces lie on each other, and so do the places at which they are divided."""
    flat = copy.deepcopy(SMALL_ROOF)
    flat["nodes"][1]["y_mm"] = 0.001953125
    assert answered(real, "/v1/analyses", flat) == 422


@pytest.fixture(scope="module")
def counted() -> Iterator[Counter[int]]:
    """How many damaged designs were answered with what status; printed at the end."""
    told: Counter[int] = Counter()
    began = time.monotonic()
    yield told
    print(f"\ndamaged designs: {told.total()}, {told.total() / (time.monotonic() - began):.0f} a second: {dict(told)}")


@pytest.mark.prove
@settings(EASY, max_examples=int(100_000 * SHARE) + 1)
@given(st.data(), PATHS)
def test_much_damage_is_answered_by_the_whole_service(real: FlaskClient, counted: Counter[int], data: st.DataObject, path: str) -> None:
    counted[slightly_damaged(real, data, path)] += 1


@pytest.mark.prove
def test_as_much_damage_was_done_as_is_claimed(counted: Counter[int]) -> None:
    assert counted.total() >= int(100_000 * SHARE)
    assert set(counted) == {200, 400, 422} or SHARE < 0.1


def slightly_damaged(client: FlaskClient, data: st.DataObject, path: str) -> int:
    document = copy.deepcopy(SMALL_ROOF)
    for _ in range(data.draw(st.integers(1, 2))):
        document = damage(document, data)
    return answered(client, path, document)
