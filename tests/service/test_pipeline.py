"""One way through, for HTTP and command line: the same bytes, the day named by the design or else given, and nothing past the deadline."""

import datetime
import json
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask

from rules.judge.options import Options
from rules.library.loading import Library
from rules.subject.faults import DesignRefused
from service.deadline import Deadline, DeadlinePassed
from service.engine import Engine
from service.pipeline import analyse_document, check_document
from service.reading import BodyRefused

Engines = Callable[..., Engine]
EMPTY = Library(())
TODAY = datetime.date(2026, 11, 25)
WAYS = pytest.mark.parametrize("way", [check_document, analyse_document])


@WAYS
def test_the_day_is_the_designs_own_or_else_the_one_given(roof: dict[str, Any], engine: Engines, way: Any) -> None:
    def day(**more: Any) -> str:
        body = json.dumps({**roof, **more}).encode()
        return str(json.loads(way(body, EMPTY, today=TODAY, engine=engine()))["receipt"]["as_of"])

    assert day() == "2026-11-25"
    assert day(codes={"as_of": "2024-01-31"}) == "2024-01-31"


@WAYS
def test_options_are_handed_on(roof: dict[str, Any], engine: Engines, way: Any) -> None:
    options = Options(include="all", working="none")
    document = json.loads(way(json.dumps(roof).encode(), EMPTY, today=TODAY, options=options, engine=engine()))
    assert document["receipt"]["options"] == options.as_document()


@WAYS
def test_what_cannot_be_read_or_checked_is_refused(engine: Engines, way: Any) -> None:
    with pytest.raises(BodyRefused):
        way(b"{", EMPTY, today=TODAY, engine=engine())
    with pytest.raises(BodyRefused, match="larger than 3 bytes"):
        way(b"null", EMPTY, today=TODAY, largest=3, engine=engine())
    with pytest.raises(DesignRefused):
        way(b"{}", EMPTY, today=TODAY, engine=engine())


@WAYS
def test_past_the_deadline_nothing_is_judged(roof: dict[str, Any], engine: Engines, way: Any) -> None:
    def never(*_given: Any, **_named: Any) -> Any:
        raise AssertionError("it was judged")

    with pytest.raises(DeadlinePassed):
        way(json.dumps(roof).encode(), EMPTY, today=TODAY, deadline=Deadline.after(-1), engine=engine(check=never, analyse=never))


def test_http_and_pipeline_give_the_same_bytes(roof: dict[str, Any], engine: Engines, app: Callable[..., Flask]) -> None:
    body = json.dumps(roof).encode()
    over_http = app().test_client().post("/v1/checks", data=body, content_type="application/json").data
    assert over_http == check_document(body, EMPTY, today=TODAY, engine=engine())


def test_a_deadline_leaves_time_until_it_leaves_none() -> None:
    assert 0 < Deadline.after(100).left() <= 100
    assert Deadline().left() == float("inf")
    with pytest.raises(DeadlinePassed):
        Deadline.after(0).left()
