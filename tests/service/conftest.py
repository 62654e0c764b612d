"""A small design, an engine of paper, and an application with both: what the service's own tests need of the storeys below."""

import copy
import datetime
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from rules.judge.options import Options
from rules.library.loading import Library
from rules.subject.design import Design
from service.engine import Engine
from service.http import create_app
from service.openapi.examples import SMALL_ROOF
from service.settings import Settings

AS_A_RULE = Settings()
TODAY = datetime.date(2026, 11, 25)
Engines = Callable[..., Engine]


@pytest.fixture
def roof() -> dict[str, Any]:
    """A document that can be checked; a copy, to be spoilt."""
    return copy.deepcopy(SMALL_ROOF)


@pytest.fixture
def today() -> datetime.date:
    return TODAY


def paper_check(design: Design, _library: Library, *, as_of: datetime.date, options: Options, **_known_and_between: Any) -> dict[str, Any]:
    receipt = {"design": design.digest, "as_of": as_of.isoformat(), "options": options.as_document()}
    return {"format": "birdsmouth-report-1", "reference": design.reference, "third": 1 / 3, "receipt": receipt}


def paper_analysis(design: Design, _library: Library, *, as_of: datetime.date, options: Options, **_between: Any) -> dict[str, Any]:
    receipt = {"as_of": as_of.isoformat(), "options": options.as_document()}
    return {"format": "birdsmouth-analysis-1", "reference": design.reference, "receipt": receipt}


def paper_page(_library: Library, pack: str, rule: str = "") -> dict[str, Any]:
    if pack != "paper":
        raise KeyError(pack)
    return {"id": pack, "title": rule}


def paper_expansion(design: Design, _library: Library, **_day: Any) -> Design:
    return design


@pytest.fixture
def engine() -> Engines:
    """An engine of paper; any of its parts can be replaced."""

    def make(**parts: Any) -> Engine:
        given = {
            "check": paper_check,
            "analyse": paper_analysis,
            "expand": paper_expansion,
            "pack_list": lambda _: [],
            "pack_page": paper_page,
            "rule_page": paper_page,
        }
        return Engine(**{**given, **parts})

    return make


@pytest.fixture
def app(engine: Engines) -> Callable[..., Flask]:
    """Makes applications with an empty library and the engine of paper."""

    def make(settings: Settings = AS_A_RULE, **parts: Any) -> Flask:
        return create_app(settings, Library(()), engine=engine(**parts), today=lambda: TODAY)

    return make


@pytest.fixture
def client(app: Callable[..., Flask]) -> FlaskClient:
    return app().test_client()
