"""`birdsmouth check --baseline`: what an earlier run found is known, what it did not find is new, and the verdict is what it was."""

import json
from pathlib import Path
from typing import Any

import pytest

from service.cli import main
from service.demo import read_design

Captured = pytest.CaptureFixture[str]
JOIST = "open-web-joist"


@pytest.fixture(autouse=True)
def designs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder with three demo designs, to be the working folder."""
    for name in (JOIST, "solid-joist", "two-reasons"):
        (tmp_path / f"{name}.json").write_bytes(read_design(name))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("NO_COLOR", "1")


def run(*words: str) -> int:
    return main(["check", *words])


def reports(path: str = "second.jsonl") -> list[dict[str, Any]]:
    return [json.loads(line) for line in Path(path).read_text("utf-8").splitlines()]


def states(report: dict[str, Any]) -> set[str | None]:
    return {each["baseline_state"] for each in report["findings"] if each["kind"] in ("fail", "open", "review")}


BOTH = (f"{JOIST}.json", "two-reasons.json", "--format", "json")


def test_what_was_found_before_is_known_and_no_exit_status_changes() -> None:
    assert run(*BOTH, "--output", "first.jsonl") == run(*BOTH, "--output", "second.jsonl", "--baseline", "first.jsonl") == 1
    assert [states(report) for report in reports()] == [{"unchanged"}, {"unchanged"}]
    assert [report["baseline"] for report in reports()] == [{"absent": []}, {"absent": []}]
    assert [report["verdict"] for report in reports()] == [report["verdict"] for report in reports("first.jsonl")]


def test_each_design_has_what_was_found_of_it_and_of_one_that_was_not_there_all_is_new() -> None:
    run("two-reasons.json", "--format", "json", "--output", "first.json")
    run(*BOTH, "--output", "second.jsonl", "--baseline", "first.json")
    assert [states(report) for report in reports()] == [{"new"}, {"unchanged"}]


def test_what_is_new_and_what_is_gone_is_counted(capsys: Captured) -> None:
    run("two-reasons.json", "--format", "json", "--output", "first.json")
    report = json.loads(Path("first.json").read_bytes())
    taken = next(each for each in report["findings"] if each["kind"] == "fail")
    report["findings"] = [each for each in report["findings"] if each is not taken] + [{"id": "0123456789abcdef", "kind": "open"}]
    Path("first.json").write_text(json.dumps(report, indent=2), "utf-8")
    run("two-reasons.json", "--baseline", "first.json")
    said = " ".join(capsys.readouterr().out.split())
    assert "1 new since the baseline, " in said
    assert "known before, 1 gone." in said
    assert said.count(", new since the baseline") == 1


@pytest.mark.parametrize("form", ["markdown", "html", "text"])
def test_people_are_told_which_is_new(form: str, capsys: Captured) -> None:
    Path("first.json").write_text(
        json.dumps(
            {"format": "birdsmouth-report-1", "reference": "TARROWBY-T02", "findings": [{"id": "0123456789abcdef", "kind": "open"}]}
        ),
        "utf-8",
    )
    run("two-reasons.json", "--baseline", "first.json", "--format", form)
    assert ", new since the baseline" in " ".join(capsys.readouterr().out.split())


def test_the_answer_to_a_job_is_a_baseline_too() -> None:
    main(["bulk", "two-reasons.json", "--format", "json", "--output", "job.json"])
    run("two-reasons.json", "--format", "json", "--output", "second.jsonl", "--baseline", "job.json")
    assert [states(report) for report in reports()] == [{"unchanged"}]


@pytest.mark.parametrize("content", ["", "[]", "{}", "no JSON", '{"format": "birdsmouth-design-1"}'])
def test_a_file_without_a_report_is_no_baseline(content: str, capsys: Captured) -> None:
    Path("first.json").write_text(content, "utf-8")
    assert run("solid-joist.json", "--baseline", "first.json") == 2
    assert "first.json holds no report" in capsys.readouterr().err


@pytest.mark.parametrize("listed", [[{"kind": "fail"}], ["fail"], {"kind": "fail"}, 7])
def test_findings_that_are_none_are_passed_over(listed: Any) -> None:
    """What somebody else wrote into the file is no fault of the tool, and knows nothing."""
    Path("first.json").write_text(json.dumps({"format": "birdsmouth-report-1", "reference": "X", "findings": listed}), "utf-8")
    assert run("solid-joist.json", "--baseline", "first.json", "--format", "json", "--output", "second.jsonl") == 0
