import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from patience import PATIENT

from service.cli.gunicorn import running

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="session")
def blocks() -> dict[str, list[tuple[str, str]]]:
    """Fenced blocks of the documents: for each file (language, text) in order."""
    found = {}
    for name in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / name).read_text(encoding="utf-8")
        found[name] = re.findall(r"^```(\w+)\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)
    return found


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """A running service, for what the documents say of HTTP; patient, so that a busy machine turns no answer into 503."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("BIRDSMOUTH_DEADLINE_S", str(round(PATIENT.deadline_s)))
        with running(workers=1) as server:
            yield server
