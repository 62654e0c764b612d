"""Reports for every format to dress: of every demo design, and two written by hand."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from rules.judge.options import Options
from rules.library.loading import Library, load_library
from service.demo import design_names, read_design
from service.pipeline import check_document

HERE = Path(__file__).parent
Report = dict[str, Any]


@pytest.fixture(scope="package")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="package")
def reports(library: Library) -> dict[str, Report]:
    """A report of every demo design, with and without passes, and one written by hand that holds every kind and a waiver."""
    today = datetime.date(2026, 11, 25)
    made: dict[str, Report] = {
        f"{name}-{include}": json.loads(check_document(read_design(name), library, today=today, options=Options(include=include)))
        for name in design_names()
        for include in ("governing", "all")
    }
    by_hand = (HERE.parents[1] / "cli" / "reports" / "failing.json").read_text(encoding="utf-8")
    passing = json.loads(by_hand)
    passing |= {"verdict": "pass", "findings": [finding for finding in passing["findings"] if finding["kind"] == "pass"]}
    return {**made, "by-hand": json.loads(by_hand), "passing": passing}


@pytest.fixture(params=[*(f"{name}-{include}" for name in design_names() for include in ("governing", "all")), "by-hand", "passing"])
def name(request: pytest.FixtureRequest) -> str:
    """Each report in turn."""
    return str(request.param)


@pytest.fixture
def told() -> Callable[[str, bytes], str]:
    """What a format says, as text."""

    def read(form: str, made: bytes) -> str:
        return "\n".join(page.extract_text() for page in PdfReader(BytesIO(made)).pages) if form == "pdf" else made.decode()

    return read
