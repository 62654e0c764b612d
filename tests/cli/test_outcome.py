"""Exit status: 0 in order, 1 findings, 2 could not be checked; nothing that went wrong looks like a pass."""

import argparse
import itertools
from typing import Any

import pytest

from service.cli.outcome import Outcome, allowed_kinds


def status(report: dict[str, Any], fail_on: str = "error", allowed: str = "") -> int:
    outcome = Outcome(fail_on, allowed_kinds(allowed) if allowed else frozenset())
    outcome.judged(report)
    return outcome.status


def finding(kind: str, level: str = "none", waiver: object = None) -> dict[str, Any]:
    return {"kind": kind, "level": level, "waiver": waiver}


@pytest.mark.parametrize(
    ("verdict", "found", "fail_on", "allowed", "expected"),
    [
        ("pass", [], "error", "", 0),
        ("pass", [finding("pass"), finding("informational"), finding("notApplicable")], "note", "", 0),
        ("fail", [finding("fail", "error")], "error", "", 1),
        ("fail", [finding("fail", "error")], "error", "open,review", 1),
        ("pass", [finding("fail", "warning")], "error", "", 0),
        ("pass", [finding("fail", "warning")], "warning", "", 1),
        ("pass", [finding("fail", "note")], "warning", "", 0),
        ("pass", [finding("fail", "note")], "note", "", 1),
        ("pass", [finding("fail", "note", {"reason": "known"})], "note", "", 0),
        ("open", [finding("open")], "error", "", 1),
        ("open", [finding("open")], "error", "open", 0),
        ("open", [finding("open"), finding("review")], "error", "open", 1),
        ("open", [finding("open"), finding("review")], "error", "open,review", 0),
        ("review", [finding("review")], "error", "", 1),
        ("review", [finding("review")], "error", "review", 0),
        ("open", [], "error", "", 1),
        ("open", [], "error", "review", 1),
        (None, [], "error", "open,review", 1),
        ("splendid", [], "error", "open,review", 1),
        ("pass", [finding("fail", "level nobody knows")], "error", "", 1),
    ],
)
def test_status_of_one_report(verdict: str | None, found: list[dict[str, Any]], fail_on: str, allowed: str, expected: int) -> None:
    assert status({"verdict": verdict, "findings": found}, fail_on, allowed) == expected


@pytest.mark.parametrize(
    ("fail_on", "allowed"), list(itertools.product(("error", "warning", "note"), ("", "open", "review", "open,review")))
)
def test_a_failing_verdict_is_never_in_order(fail_on: str, allowed: str) -> None:
    assert status({"verdict": "fail", "findings": []}, fail_on, allowed) == 1


def test_a_refusal_outweighs_findings_whatever_comes_first() -> None:
    for steps in itertools.permutations(("refused", "failed", "passed")):
        outcome = Outcome("error", frozenset())
        for step in steps:
            outcome.refused() if step == "refused" else outcome.judged({"verdict": "fail" if step == "failed" else "pass", "findings": []})
        assert outcome.status == 2


@pytest.mark.parametrize("text", ["", ",", "fail", "open,fail", "pass"])
def test_only_open_and_review_can_be_allowed(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError, match="open and review"):
        allowed_kinds(text)
