"""`birdsmouth bulk` as typed: files, folders and whole jobs; what it writes, and its status."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.cli import main
from service.openapi.examples import FAULTY_ROOF, SMALL_JOB, SMALL_ROOF


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "roof" / "deep").mkdir(parents=True)
    (tmp_path / "roof" / "b.json").write_text(json.dumps({**SMALL_ROOF, "reference": "B"}))
    (tmp_path / "roof" / "deep" / "a.json").write_text(json.dumps({**SMALL_ROOF, "reference": "A"}))
    (tmp_path / "faulty.json").write_text(json.dumps({**FAULTY_ROOF, "reference": "C"}))
    (tmp_path / "job.json").write_text(json.dumps({**SMALL_JOB[2], "reports": "none"}))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def told(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> str:
    assert main(["bulk", *words]) == status
    return capsys.readouterr().out


@pytest.mark.usefixtures("here")
def test_a_folder_is_taken_at_any_depth_in_order(capsys):
    job = json.loads(told(capsys, "roof", "--allow", "open,review", "--format", "json", "--job", "HOUSE"))
    assert job["reference"] == "HOUSE"
    assert [each["reference"] for each in job["designs"]] == ["B", "A"]


@pytest.mark.usefixtures("here")
def test_what_is_open_is_a_finding_unless_it_is_allowed(capsys):
    told(capsys, "roof", status=1)
    assert "DESIGNS" in told(capsys, "roof", "--allow", "open,review")


@pytest.mark.usefixtures("here")
def test_a_design_that_cannot_be_checked_is_status_two_and_the_others_are_answered(capsys):
    job = json.loads(told(capsys, "roof", "faulty.json", "--format", "json", status=2))
    assert [each["status"] for each in job["designs"]] == [200, 200, 422]
    short = json.loads(told(capsys, "faulty.json", "roof", "--stop-on", "refused", "--format", "json", status=2))
    assert [each["status"] for each in short["designs"]] == [422, None, None]


@pytest.mark.usefixtures("here")
def test_a_whole_job_is_taken_as_it_is_and_the_day_can_be_set(capsys):
    job = json.loads(told(capsys, "job.json", "--as-of", "2027-01-01", "--allow", "open,review", "--format", "json"))
    assert job["reference"] == SMALL_JOB[2]["reference"]
    assert [each["report"]["receipt"]["as_of"] for each in job["designs"]] == ["2027-01-01"] * 2


@pytest.mark.usefixtures("here")
@pytest.mark.parametrize("form", ["sarif", "junit", "markdown", "html"])
def test_it_is_written_for_pipelines_and_people(here, capsys, form):
    told(capsys, "roof", "faulty.json", "--format", form, "--output", "out", status=2)
    written = (here / "out").read_text()
    assert "C" in written
    if form in ("sarif", "junit"):
        assert "roof/deep/a.json" in written
        assert "faulty.json" in written


def test_what_cannot_be_read_is_named(here, capsys):
    (here / "broken.json").write_text("{")
    told(capsys, "roof", "broken.json", status=2)
    (here / "empty").mkdir()
    assert main(["bulk", "empty"]) == 2
    assert "holds no design (*.json)" in capsys.readouterr().err
    assert main(["bulk", "roof", "roof"]) == 2
    assert "roof/b.json: /reference: roof/b.json has this reference too." in capsys.readouterr().err


def test_answers_that_lie_beside_the_designs_are_left_out_with_a_word(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    report = here / "roof" / "b.report.json"
    main(["check", "roof/b.json", "--format", "json", "--output", str(report)])
    assert main(["bulk", "roof", "--allow", "open,review", "--format", "json"]) == 0
    said = capsys.readouterr()
    assert [each["reference"] for each in json.loads(said.out)["designs"]] == ["B", "A"]
    assert "left out as no designs, but answers to some: roof/b.report.json" in said.err
    assert main(["bulk", "roof", "roof/b.report.json"]) == 2, "named by itself it is taken at its word"


def test_what_cannot_be_read_is_not_left_out(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "roof" / "broken.json").write_text("{")
    assert main(["bulk", "roof"]) == 2
    assert "roof/broken.json" in capsys.readouterr().err


@pytest.mark.usefixtures("here")
def test_designs_of_one_name_are_told_by_their_files(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "roof" / "c.json").write_text(json.dumps({**SMALL_ROOF, "reference": "B"}))
    assert main(["bulk", "roof"]) == 2
    assert "roof/c.json: /reference: roof/b.json has this reference too." in capsys.readouterr().err
