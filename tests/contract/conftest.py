"""The service with the packs that ship, asked without a network."""

import pytest
from flask import Flask
from flask.testing import FlaskClient

from rules.library.loading import Library, load_library
from service.http import create_app
from service.settings import Settings

PATIENT = Settings(deadline_s=600.0)
"""A busy machine must not turn these answers into 503: how long they take is asked elsewhere."""


@pytest.fixture(scope="session")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="session")
def app(library: Library) -> Flask:
    return create_app(PATIENT, library)


@pytest.fixture(scope="session")
def client(app: Flask) -> FlaskClient:
    return app.test_client()
