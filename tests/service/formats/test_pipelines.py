"""JUnit, GitHub and GitLab: a case a rule, the gravest first, nothing that went wrong counted as a pass."""

import copy
import json
from collections import Counter
from typing import Any

from junitparser import Error, Failure, JUnitXml, Skipped, TestCase

from service.formats.dressing import FORMATS

SOURCE = "designs/t 04,ü.json"
Report = dict[str, Any]


def read_back(content: bytes) -> JUnitXml:
    return JUnitXml.fromstring(content)


def cases(content: bytes) -> dict[str, TestCase]:
    return {f"{case.classname}/{case.name}": case for suite in read_back(content) for case in suite}


def test_a_case_stands_for_every_rule(reports: dict[str, Report], name: str) -> None:
    report = reports[name]
    rules = {entry["rule"] for entry in report["coverage"]} | {finding["rule"] for finding in report["findings"]}
    assert set(cases(FORMATS["junit"].render(report))) == rules


def test_the_counts_are_those_of_the_cases(reports: dict[str, Report], name: str) -> None:
    whole = read_back(FORMATS["junit"].render(reports[name]))
    counted = Counter(type(result) for suite in whole for case in suite for result in case.result)
    assert (whole.failures, whole.errors, whole.skipped) == (counted[Failure], counted[Error], counted[Skipped])
    assert (whole.failures + whole.errors > 0) == (reports[name]["verdict"] != "pass")


def test_each_kind_has_its_outcome(reports: dict[str, Report]) -> None:
    report = {
        **reports["by-hand"],
        "coverage": [{"rule": "p/nothing", "notApplicable": 3, "because": {"is no rafter": 3}}, {"rule": "p/hidden", "fail": 2}],
    }
    outcomes = {rule: [(type(each), each.type) for each in case.result] for rule, case in cases(FORMATS["junit"].render(report)).items()}
    assert outcomes == {
        "eurocode-timber/bending-with-compression": [(Failure, "error")],
        "england-house-longhorn/treated": [(Skipped, "waived")],
        "engine/expected-actions": [(Error, "open")],
        "workshop-practice/lifting": [(Error, "review")],
        "workshop-practice/mass": [],
        "eurocode-timber/deflection": [],
        "p/nothing": [(Skipped, "notApplicable")],
        "p/hidden": [(Error, "not shown")],
    }


def test_a_fail_at_a_lower_level_is_seen_but_not_counted(reports: dict[str, Report]) -> None:
    report = copy.deepcopy(reports["by-hand"])
    report["findings"][1]["waiver"] = None
    (skipped,) = cases(FORMATS["junit"].render(report))["england-house-longhorn/treated"].result
    assert (type(skipped), skipped.type, skipped.message) == (Skipped, "warning", "The rafters are untreated.")


# GitHub and GitLab


def test_github_shows_the_gravest_first_and_counts_all(reports: dict[str, Report]) -> None:
    report = copy.deepcopy(reports["by-hand"])
    worst = report["findings"][0]
    report["findings"] += [
        {**worst, "id": str(number), "utilisation": 1.3 + number / 100, "message": f"no. {number}"} for number in range(12)
    ]
    lines = FORMATS["github"].render(report, SOURCE).decode().splitlines()
    assert lines[0].startswith(
        "::error file=designs/t 04%2Cü.json,line=1,title=The web does not buckle%3A member W1 at 2335 mm (out of plane)::no. 11 ["
    )
    assert "fail: 13 error, 2 warning, 1 notice;" in lines[-1]
    assert Counter(line.split()[0] for line in lines) == {"::error": 10, "::warning": 2, "::notice": 1}


def test_github_says_that_a_design_passes(reports: dict[str, Report]) -> None:
    (line,) = FORMATS["github"].render(reports["passing"], SOURCE).decode().splitlines()
    assert line.startswith("::notice ")
    assert "pass: nothing found" in line


def test_gitlab_gets_what_it_needs(reports: dict[str, Report]) -> None:
    entries = json.loads(FORMATS["gitlab"].render(reports["by-hand"], "a.json"))
    assert [entry["severity"] for entry in entries] == ["critical", "major", "major", "info"]
    for entry in entries:
        assert entry["location"] == {"path": "a.json", "lines": {"begin": 1}}
        assert entry["description"]
        assert entry["check_name"]


def test_gitlab_tells_the_same_fault_of_two_files_apart(reports: dict[str, Report]) -> None:
    entries = json.loads(FORMATS["gitlab"].render_all([(reports["by-hand"], "a.json"), (reports["by-hand"], "b.json")]))
    assert len({entry["fingerprint"] for entry in entries}) == len(entries) == 8
