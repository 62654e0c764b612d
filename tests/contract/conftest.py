"""The service with the packs that ship, asked without a network."""

import pytest
from flask import Flask
from flask.testing import FlaskClient
from patience import PATIENT

from rules.library.loading import Library, load_library
from service.http import create_app


@pytest.fixture(scope="session")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="session")
def app(library: Library) -> Flask:
    return create_app(PATIENT, library)


@pytest.fixture(scope="session")
def client(app: Flask) -> FlaskClient:
    return app.test_client()
