"""What the demo prints and keeps."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from service.cli import main
from service.demo import design_names, read_design


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    """The words of one run and the folder it wrote."""
    folder = tmp_path_factory.mktemp("demo") / "deep" / "folder"
    command = [sys.executable, "-m", "birdsmouth", "demo", "--output", str(folder)]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout, folder


def test_the_table_stands_where_the_screen_ends_with_a_row_for_every_design(demo: tuple[str, Path]) -> None:
    shown = demo[0].split("─" * 100)[-2]
    assert shown.split()[:6] == ["design", "verdict", "used", "where", "clause", "source"]
    rows = [next(line for line in shown.splitlines() if line.startswith(f" {name} ")).split() for name in design_names()]
    assert [row[1] for row in rows] == ["pass", "open", "pass", "fail", "review", "open"]
    assert all(re.fullmatch(r"\d\.\d\d+", row[2]) for row in rows)
    assert float(rows[3][2]) > 1


def test_the_failing_truss_fails_for_its_two_reasons(demo: tuple[str, Path]) -> None:
    report = json.loads((demo[1] / "two-reasons.report.json").read_bytes())
    failed = {finding["where"]["member"] for finding in report["findings"] if finding["kind"] == "fail" and finding["level"] == "error"}
    assert failed == {"BC", "W1", "W3", "W4"}
    assert "also not met: " in demo[0]
    assert re.search(r"^ +1\.2\d member W1", demo[0], re.MULTILINE)
    untreated = {finding["rule"] for finding in report["findings"] if finding["level"] == "warning"}
    assert untreated == {"england-house-longhorn/roof-softwood-treated"}


def test_a_design_with_invented_values_is_marked_and_the_others_are_not(demo: tuple[str, Path]) -> None:
    parts = dict(zip(design_names(), demo[0].split("─" * 100)[1:], strict=False))
    assert "NOT FOR CONSTRUCTION" in parts["open-web-joist"]
    assert {name for name, part in parts.items() if "NOT FOR CONSTRUCTION" in part} == {"open-web-joist", "plated-fink"}


def test_the_plated_truss_is_open_for_its_plates_alone(demo: tuple[str, Path]) -> None:
    """Its pieces are those of the first truss, which passes; made-up values decide nothing, and their numbers are shown."""
    report = json.loads((demo[1] / "plated-fink.report.json").read_bytes())
    left = [finding for finding in report["findings"] if finding["kind"] == "open"]
    assert {finding["where"]["joint"] for finding in left} == {joint["joint"] for joint in report["quantities"]["joints"]}
    assert {finding["utilisation"] < 1 for finding in left if finding["utilisation"] is not None} == {True}
    assert "made up" in json.loads(read_design("plated-fink"))["plate_types"][0]["document"]


def test_designs_and_reports_are_kept(demo: tuple[str, Path]) -> None:
    for name in design_names():
        assert (demo[1] / f"{name}.json").read_bytes() == read_design(name)
        assert json.loads((demo[1] / f"{name}.report.json").read_bytes())["format"] == "birdsmouth-report-1"


def test_it_says_how_long_it_took_and_how_to_go_on(demo: tuple[str, Path]) -> None:
    last = demo[0].splitlines()[-4:]
    assert f"check {demo[1]}/fink.json" in last[1]
    assert f"check {demo[1]}/fink.json --for builder" in last[2]
    assert re.fullmatch(r" Ready after \d+\.\d s; 6 designs checked over HTTP in \d+\.\d\d s\.", last[3])


def test_no_line_is_wider_than_the_page(demo: tuple[str, Path]) -> None:
    assert max(len(line) for line in demo[0].splitlines()[:-4]) <= 100


def test_a_folder_that_cannot_be_written_is_trouble(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    assert main(["demo", "--output", str(tmp_path / "file" / "below")]) == 2
    assert "Name another folder with --output" in capsys.readouterr().err


def test_an_unknown_design_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        read_design("cathedral")
