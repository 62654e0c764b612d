"""The service, and what it says of published examples, each asked once."""

from collections.abc import Callable, Sequence
from typing import Any

import pytest
from flask.testing import FlaskClient
from patience import PATIENT

from service.http import create_app

Document = dict[str, Any]


@pytest.fixture(scope="session")
def client() -> FlaskClient:
    return create_app(PATIENT).test_client()


@pytest.fixture(scope="session")
def checked(client: FlaskClient) -> Callable[[Sequence[Document]], dict[str, Document]]:
    """The whole reports of examples, by name."""

    def run(examples: Sequence[Document]) -> dict[str, Document]:
        answers = {each["name"]: client.post("/v1/checks?include=all&working=all", json=each["design"]) for each in examples}
        assert {name: answer.status_code for name, answer in answers.items()} == dict.fromkeys(answers, 200)
        return {name: answer.get_json() for name, answer in answers.items()}

    return run
