import json
from pathlib import Path
from typing import Any

import pytest


@pytest.fixture
def failing_report() -> dict[str, Any]:
    """A report with one finding of every kind, written by hand."""
    report: dict[str, Any] = json.loads((Path(__file__).parent / "reports" / "failing.json").read_text(encoding="utf-8"))
    return report
