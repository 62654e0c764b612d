"""A client generated from openapi.yaml by a general tool, as strangers make theirs, talks to the service."""

import importlib
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from service.cli.gunicorn import running
from service.openapi.examples import FAULTY_ROOF, SMALL_COMPARISON, SMALL_JOB, SMALL_ROOF, SMALL_SHAPE, SMALL_SIZING, SMALL_TRIAL
from service.openapi.operations import OPERATIONS, Operation

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def part(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """Gives modules of the generated client by name."""
    folder = tmp_path_factory.mktemp("generated")
    words = [sys.executable, "-m", "openapi_python_client", "generate", "--path", str(ROOT / "openapi.yaml"), "--meta", "none"]
    made = subprocess.run([*words, "--output-path", str(folder / "strangers_client")], capture_output=True, text=True, check=False)
    assert made.returncode == 0, made.stdout + made.stderr
    sys.path.insert(0, str(folder))
    try:
        yield lambda name: importlib.import_module(f"strangers_client.{name}")
    finally:
        sys.path.remove(str(folder))
        for name in [name for name in sys.modules if name.split(".")[0] == "strangers_client"]:
            del sys.modules[name]


@pytest.fixture(scope="module")
def client(part: Any) -> Iterator[Any]:
    with running(workers=1) as address, part("client").Client(base_url=address) as made:
        yield made


def models(part: Any) -> ModuleType:
    found: ModuleType = part("models")
    return found


@pytest.mark.parametrize("body", [SMALL_ROOF, FAULTY_ROOF], ids=["sound", "faulty"])
def test_a_design_goes_through_its_model_unchanged(part: Any, body: dict[str, Any]) -> None:
    if body is FAULTY_ROOF:
        body = {**body, "members": SMALL_ROOF["members"]}
    assert models(part).Design.from_dict(body).to_dict() == body


def test_a_report_comes_back_as_its_model(part: Any, client: Any) -> None:
    answer = part("api.designs.check").sync_detailed(client=client, body=models(part).Design.from_dict(SMALL_ROOF))
    assert answer.status_code == 200
    assert isinstance(answer.parsed, models(part).Report)
    assert answer.parsed.reference == "BOATHOUSE-R1"
    assert answer.parsed.verdict in ("pass", "fail", "open", "review")
    assert answer.parsed.findings[0].rule
    assert answer.parsed.receipt.report.startswith("sha256:")


def test_a_problem_comes_back_as_its_model(part: Any, client: Any) -> None:
    faulty = {**SMALL_ROOF, "supports": FAULTY_ROOF["supports"]}
    answer = part("api.designs.check").sync_detailed(client=client, body=models(part).Design.from_dict(faulty))
    assert answer.status_code == 422
    assert isinstance(answer.parsed, models(part).Problem)
    assert [each.pointer for each in answer.parsed.errors] == ["/supports/0/node"]


SENT = {
    "check": ("Design", SMALL_ROOF),
    "analyse": ("Design", SMALL_ROOF),
    "expand": ("Design", SMALL_SHAPE),
    "compare": ("Comparison", SMALL_COMPARISON[2]),
    "size": ("Sizing", SMALL_SIZING[2]),
    "doJob": ("Job", SMALL_JOB[2]),
    "tryPack": ("Trial", SMALL_TRIAL[2]),
}
ASKED: dict[str, dict[str, str]] = {
    "listPacks": {}, "showPack": {"pack": "eurocode-timber"}, "showRule": {"pack": "eurocode-timber", "rule": "compression"},
    "showSchema": {"name": "pack"}, "explain": {"code": "internal"}, "front": {}, "health": {}, "readiness": {}, "version": {},
    "figures": {}, "reference": {},
}  # fmt: skip
NOT_MADE = {"checkBatch", "contract"}
"""What this tool makes nothing of: bodies of lines, and answers in YAML."""


def of(part: Any, operation: Operation) -> Any:
    name = re.sub("([A-Z])", r"_\1", operation.name).lower()
    return part(f"api.{operation.tag.lower()}.{name}")


@pytest.mark.parametrize("operation", [each for each in OPERATIONS if each.name not in NOT_MADE], ids=lambda operation: operation.name)
def test_every_operation_answers_as_its_model_and_nothing_is_lost(part: Any, client: Any, operation: Operation) -> None:
    asked: dict[str, Any] = ASKED.get(operation.name, {})
    if operation.name in SENT:
        model, body = SENT[operation.name]
        asked = {"body": getattr(models(part), model).from_dict(body)}
    answer = of(part, operation).sync_detailed(client=client, **asked)
    assert answer.status_code == 200
    if any(schema for schema in operation.answers.values()):
        assert answer.parsed.to_dict() == json.loads(answer.content)
    else:
        assert answer.parsed == answer.content.decode()
