"""Every format over one report: that it carries the receipt, is the same each time, and that nothing that went wrong looks like a pass."""

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest
from junitparser import JUnitXml

from service.formats.dressing import FORMATS

SOURCE = "designs/t 04,ü.json"
Report = dict[str, Any]
Told = Callable[[str, bytes], str]


@pytest.mark.parametrize("form", FORMATS)
def test_the_receipt_is_carried_where_anything_is_told(reports: dict[str, Report], name: str, form: str, told: Told) -> None:
    text = told(form, FORMATS[form].render(reports[name], SOURCE))
    if form != "gitlab" or json.loads(text):
        assert reports[name]["receipt"]["report"] in text.replace("\\", "")


@pytest.mark.parametrize("form", FORMATS)
def test_the_same_report_gives_the_same_bytes(reports: dict[str, Report], form: str) -> None:
    report = reports["two-reasons-all"]
    before = copy.deepcopy(report)
    assert FORMATS[form].render(report, SOURCE) == FORMATS[form].render(copy.deepcopy(report), SOURCE)
    assert report == before, "a format changed the report"


@pytest.mark.parametrize("verdict", ["open", "fail", "review", "strange", None])
def test_a_verdict_worse_than_its_findings_is_not_lost(reports: dict[str, Report], verdict: str | None) -> None:
    """No code of practice in force is open by itself: a list of findings without a word of it would look like a pass."""
    report = {**reports["passing"], "verdict": verdict}
    log = json.loads(FORMATS["sarif"].render(report, SOURCE))
    made = [result for result in log["runs"][0]["results"] if result["ruleId"] == "engine/verdict"]
    assert [result["kind"] for result in made] == [verdict if verdict in ("open", "fail", "review") else "open"]
    junit = JUnitXml.fromstring(FORMATS["junit"].render(report))
    assert (junit.failures, junit.errors) == ((1, 0) if verdict == "fail" else (0, 1))
    assert len(json.loads(FORMATS["gitlab"].render(report))) == 1
    assert b"::warning" in FORMATS["github"].render(report) or verdict == "fail"
    assert b"::error" in FORMATS["github"].render(report)
