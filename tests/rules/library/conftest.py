"""Pack folders written for one test, and what is refused."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from rules.subject.faults import DesignRefused

GOOD = Path(__file__).parent / "good_pack"


@pytest.fixture
def good_pack(tmp_path: Path) -> Path:
    """A copy of the small sound pack beside this file."""
    return Path(shutil.copytree(GOOD, tmp_path / "good_pack"))


@pytest.fixture
def folder(tmp_path: Path) -> Callable[[str, Mapping[str, str]], Path]:
    """Write a pack folder: name, then the text of each file by its path inside."""

    def write(name: str, files: Mapping[str, str]) -> Path:
        for inside, text in files.items():
            file = tmp_path / name / inside
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
        return tmp_path / name

    return write


@pytest.fixture
def head() -> Callable[..., str]:
    """The text of a small pack.yaml; keywords replace or add lines."""

    def text(**lines: str) -> str:
        said = {
            "id": "mill-practice",
            "title": "What the mill asks for",
            "layer": "practice",
            "document": "The mill's own book",
            "edition": '"2026"',
            "release": "1.0.0",
            "engine": '">=1.0,<2"',
            "what": "A pack made for tests.",
        }
        return "".join(f"{key}: {value}\n" for key, value in (said | lines).items())

    return text


@pytest.fixture
def refused() -> Callable[[Callable[[], object]], list[tuple[str, str]]]:
    """Where and why a call is refused; every fault says what is wrong and what to do."""

    def faults(run: Callable[[], object]) -> list[tuple[str, str]]:
        with pytest.raises(DesignRefused) as refusal:
            run()
        assert all(fault.detail and fault.hint for fault in refusal.value.faults)
        return [(fault.pointer, fault.code) for fault in refusal.value.faults]

    return faults
