"""What the tests of the command line start from."""

import json
from pathlib import Path
from typing import Any

import pytest

import service.cli.here  # noqa: F401  imported before anything of it is replaced
from rules.library import Library, load_library
from service.demo import read_design


@pytest.fixture
def failing_report() -> dict[str, Any]:
    """A report with one finding of every kind, written by hand."""
    report: dict[str, Any] = json.loads((Path(__file__).parent / "reports" / "failing.json").read_text(encoding="utf-8"))
    return report


@pytest.fixture(scope="session")
def library() -> Library:
    """The rule packs, read once for all tests here."""
    return load_library()


@pytest.fixture(autouse=True)
def read_once(library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    """Spare every test the second that reading the packs takes; the tests that start a process read them as users do."""
    monkeypatch.setattr("service.cli.here.load_library", lambda mounted: load_library(mounted) if mounted else library)


@pytest.fixture
def designs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the demo designs, to be the working folder."""
    for name in ("fink", "open-web-joist", "solid-joist", "two-reasons"):
        (tmp_path / f"{name}.json").write_bytes(read_design(name))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("NO_COLOR", "1")
    return tmp_path
