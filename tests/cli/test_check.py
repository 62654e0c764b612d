"""`birdsmouth check` in this process: what it prints, what it writes, how it ends."""

import datetime
import io
import json
import sys
from pathlib import Path

import pytest

from service.cli import main
from service.demo import read_design

Captured = pytest.CaptureFixture[str]
BytesCaptured = pytest.CaptureFixture[bytes]


@pytest.mark.usefixtures("designs")
@pytest.mark.parametrize(
    ("words", "status", "verdict"),
    [
        (["solid-joist.json"], 0, "PASS  TARROWBY-J02"),
        (["fink.json"], 0, "PASS  TARROWBY-T01"),
        (["two-reasons.json"], 1, "FAIL  TARROWBY-T02"),
        (["two-reasons.json", "--allow", "open,review"], 1, "FAIL  TARROWBY-T02"),
        (["open-web-joist.json"], 1, "OPEN  TARROWBY-J01"),
        (["open-web-joist.json", "--allow", "open"], 0, "OPEN  TARROWBY-J01"),
    ],
)
def test_status_and_verdict(words: list[str], status: int, verdict: str, capsys: Captured) -> None:
    assert main(["check", *words]) == status
    assert f" {verdict}\n" in capsys.readouterr().out


@pytest.mark.usefixtures("designs")
def test_the_text_names_the_file_the_clause_and_the_cautions(capsys: Captured) -> None:
    main(["check", "two-reasons.json"])
    shown = capsys.readouterr().out
    assert "From two-reasons.json." in shown
    assert "EN 1995-1-1, 6.3.2" in shown
    assert "licensed" in shown
    assert "water-tank" in shown


def test_standard_input_and_a_file_give_the_same_bytes(designs: Path, capfdbinary: BytesCaptured, monkeypatch: pytest.MonkeyPatch) -> None:
    main(["check", "solid-joist.json", "--format", "json"])
    from_file = capfdbinary.readouterr().out
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO((designs / "solid-joist.json").read_bytes())))
    main(["check", "-", "--format", "json"])
    assert capfdbinary.readouterr().out == from_file


def test_output_goes_to_the_file_asked_for(designs: Path, capsys: Captured) -> None:
    assert main(["check", "solid-joist.json", "--format", "json", "--output", "report.json"]) == 0
    assert capsys.readouterr().out == ""
    assert json.loads((designs / "report.json").read_bytes())["reference"] == "TARROWBY-J02"


def test_several_reports_stand_one_a_line(designs: Path) -> None:
    main(["check", "solid-joist.json", "two-reasons.json", "--format", "json", "--output", "reports.jsonl"])
    lines = (designs / "reports.jsonl").read_text(encoding="utf-8").splitlines()
    assert [json.loads(line)["verdict"] for line in lines] == ["pass", "fail"]


def test_a_refused_document_is_explained_and_the_others_are_still_checked(designs: Path, capsys: Captured) -> None:
    document = json.loads(read_design("solid-joist"))
    document["members"][0]["grade"] = "C99"
    document["spacing_mm"] = "400"
    (designs / "bad.json").write_text(json.dumps(document), encoding="utf-8")
    assert main(["check", "bad.json", "solid-joist.json"]) == 2
    said = capsys.readouterr()
    assert "bad.json: /spacing_mm: " in said.err
    assert "PASS  TARROWBY-J02" in said.out


def test_an_unknown_grade_is_named_with_its_place(designs: Path, capsys: Captured) -> None:
    document = json.loads(read_design("solid-joist"))
    document["members"][0]["grade"] = "C99"
    (designs / "bad.json").write_text(json.dumps(document), encoding="utf-8")
    assert main(["check", "bad.json"]) == 2
    said = capsys.readouterr().err
    assert "bad.json: /members/0/grade: " in said
    assert "C99" in said


@pytest.mark.usefixtures("designs")
def test_the_day_and_the_packs_asked_for_are_those_of_the_report() -> None:
    words = ["--as-of", "2026-01-31", "--pack", "eurocode-basis", "--pack", "eurocode-timber", "--pack", "grades-en"]
    main(["check", "solid-joist.json", "--format", "json", "--output", "report.json", *words])
    report = json.loads(Path("report.json").read_bytes())
    assert report["receipt"]["as_of"] == "2026-01-31"
    assert {pack["id"] for pack in report["packs"]} == {"eurocode-basis", "eurocode-timber", "grades-en"}


@pytest.mark.usefixtures("designs")
def test_without_a_day_it_is_today() -> None:
    main(["check", "solid-joist.json", "--format", "json", "--output", "report.json"])
    report = json.loads(Path("report.json").read_bytes())
    today = datetime.datetime.now(datetime.UTC).date()
    assert today - datetime.date.fromisoformat(report["receipt"]["as_of"]) <= datetime.timedelta(days=1)


@pytest.mark.usefixtures("designs")
def test_an_unknown_pack_is_refused(capsys: Captured) -> None:
    assert main(["check", "solid-joist.json", "--pack", "eurocode-marble"]) == 2
    assert "/codes/packs" in capsys.readouterr().err


@pytest.mark.usefixtures("designs")
@pytest.mark.parametrize(("terminal", "no_colour", "coloured"), [(True, "", True), (True, "1", False), (False, "", False)])
def test_colour_only_for_a_terminal_that_wants_it(
    terminal: bool, no_colour: str, coloured: bool, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.setenv("NO_COLOR", no_colour)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: terminal)
    main(["check", "solid-joist.json"])
    assert ("\x1b[" in capsys.readouterr().out) == coloured


@pytest.mark.parametrize("form", ["sarif", "github", "gitlab"])
def test_a_finding_points_at_the_line_of_its_piece(designs: Path, form: str) -> None:
    lines = (designs / "two-reasons.json").read_text(encoding="utf-8").splitlines()
    wanted = next(number for number, line in enumerate(lines, 1) if '"id": "W1"' in line)
    main(["check", "two-reasons.json", "--format", form, "--output", "found"])
    made = (designs / "found").read_text(encoding="utf-8")
    if form == "github":
        told = {int(line.split("line=")[1].split(",")[0]) for line in made.splitlines() if "member W1" in line}
    elif form == "gitlab":
        told = {each["location"]["lines"]["begin"] for each in json.loads(made) if "member W1" in each["description"]}
    else:
        places = [result["locations"][0] for result in json.loads(made)["runs"][0]["results"]]
        own = [
            place["physicalLocation"]["region"] for place in places if {"W1"} & {each["name"] for each in place.get("logicalLocations", ())}
        ]
        told = {region["startLine"] for region in own}
        assert all(region["startColumn"] >= 1 and region["endLine"] >= region["startLine"] for region in own)
    assert len(told) == 1
    assert wanted - 1 <= told.pop() <= wanted


def test_the_page_for_the_builder_is_one_for_the_site_with_the_report_s_receipt(designs: Path, capsys: Captured) -> None:
    assert main(["check", "fink.json", "two-reasons.json", "--for", "builder"]) == 1
    first, second = capsys.readouterr().out.split(" FOR THE BUILDER  ")[1:]
    assert "PASS. Every check that ran is met." in first
    assert "FAIL. Not to be built yet: at least one check is not met." in second
    main(["check", "fink.json", "--format", "json"])
    assert json.loads(capsys.readouterr().out)["receipt"]["report"] in first
    assert main(["check", "fink.json", "--for", "builder", "--format", "html", "--output", "site.html"]) == 0
    assert b"For the builder: TARROWBY-T01" in (designs / "site.html").read_bytes()


@pytest.mark.usefixtures("designs")
def test_the_page_for_the_builder_is_refused_as_what_only_programs_read(capsys: Captured) -> None:
    assert main(["check", "fink.json", "--for", "builder", "--format", "sarif"]) == 2
    assert "as text, html or pdf, not as sarif" in capsys.readouterr().err
