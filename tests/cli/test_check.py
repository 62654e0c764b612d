"""`birdsmouth check` in this process: what it prints, what it writes, how it ends."""

import datetime
import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from rules.library import BrokenPack, LibraryRefused, PackFault
from rules.subject.faults import Fault
from service.cli import main
from service.cli.here import Here
from service.cli.trouble import Refused
from service.demo import read_design


@pytest.fixture
def designs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the demo designs, to be the working folder."""
    for name in ("fink", "open-web-joist", "solid-joist", "two-reasons"):
        (tmp_path / f"{name}.json").write_bytes(read_design(name))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("NO_COLOR", "1")
    return tmp_path


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
@pytest.mark.parametrize(
    ("body", "words"),
    [
        (b"", "empty"),
        (b"{", "JSON"),
        (b'{"count": NaN}', "NaN"),
        (b'{"count": 1, "count": 2}', "/count"),
        (b"\xff\xfe", "UTF-8"),
        (b"[]", "object"),
    ],
)
def test_what_is_no_document_is_refused_with_a_line_that_says_why(body: bytes, words: str, capsys: Captured) -> None:
    Path("odd.json").write_bytes(body)
    assert main(["check", "odd.json"]) == 2
    said = capsys.readouterr().err
    assert said.startswith("odd.json: /")
    assert words in said


@pytest.mark.usefixtures("designs")
@pytest.mark.parametrize("words", [["--pack", "eurocode-timber"], ["--as-of", "2026-01-31"]])
def test_a_document_that_cannot_be_read_is_refused_alike_with_options(words: list[str], capsys: Captured) -> None:
    Path("odd.json").write_bytes(b'{"count": NaN}')
    assert main(["check", "odd.json", *words]) == 2
    assert "NaN" in capsys.readouterr().err


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
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["check", "nowhere.json"], "cannot read nowhere.json: No such file"),
        (["check", "solid-joist.json", "--output", "no/such/folder/report"], "cannot write no/such/folder/report"),
        (
            ["check", "solid-joist.json", "--server", "http://127.0.0.1:9"],
            "no answer from http://127.0.0.1:9: Connection refused. Is the service running there?",
        ),
        (["check", "."], ". is a folder; name a file in it, or check all its designs together: birdsmouth bulk"),
        (
            ["size", "solid-joist.json"],
            "solid-joist.json is a design: name what there is to choose from and what may vary with --stock PATH.",
        ),
        (
            ["compare", "solid-joist.json"],
            "solid-joist.json is one design: name a second one, or sides of it by --sides, --pack or --as-of.",
        ),
        (["check", "solid-joist.json", "--server", "nonsense"], "no answer from nonsense"),
        (["packs", "show", "nothing"], "there is no rule pack 'nothing'. There are: "),
    ],
)
def test_trouble_is_told_in_one_sentence_and_ends_with_status_2(words: list[str], said: str, capsys: Captured) -> None:
    assert main(words) == 2
    assert f"birdsmouth: {said}" in capsys.readouterr().err


@pytest.mark.parametrize(
    "words",
    [
        [], ["check"], ["check", "a", "--format", "docx"], ["check", "a", "--as-of", "yesterday"], ["check", "a", "--fail-on", "worry"], ["check", "a", "--allow", "fail"],
        ["serve", "--port", "0"], ["serve", "--port", "http"], ["serve", "--workers", "0"], ["packs"], ["nonsense"], ["check", "a", "--form", "text"],
    ],
)  # fmt: skip
def test_a_command_line_that_makes_no_sense_ends_with_status_2(words: list[str], capsys: Captured) -> None:
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == 2
    assert "usage: birdsmouth" in capsys.readouterr().err


def breaks(error: BaseException) -> Any:
    def check(_self: Here, _body: bytes) -> bytes:
        raise error

    return check


@pytest.mark.usefixtures("designs")
def test_when_the_tool_goes_wrong_it_says_so_and_passes_nothing(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    monkeypatch.setattr(Here, "check", breaks(ZeroDivisionError("by nought")))
    assert main(["check", "solid-joist.json"]) == 2
    said = capsys.readouterr()
    assert "nothing may be concluded from this run: ZeroDivisionError: by nought" in said.err
    assert "Traceback" not in said.err
    assert said.out == ""
    assert main(["--traceback", "check", "solid-joist.json"]) == 2
    assert "Traceback" in capsys.readouterr().err


@pytest.mark.usefixtures("designs")
def test_ctrl_c_ends_it_without_a_trace(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    monkeypatch.setattr(Here, "check", breaks(KeyboardInterrupt()))
    assert main(["check", "solid-joist.json"]) == 130
    assert capsys.readouterr().err == "birdsmouth: stopped.\n"


def test_a_reader_that_goes_away_is_no_fault_of_the_tool(designs: Path) -> None:
    script = f"{sys.executable} -m birdsmouth check fink.json fink.json fink.json --format json | head -c 10"
    ended = subprocess.run(["bash", "-c", script], cwd=designs, capture_output=True, text=True, check=False)
    assert ended.stdout == '{"format":'
    assert "Traceback" not in ended.stderr
    assert "Exception ignored" not in ended.stderr


@pytest.mark.usefixtures("designs")
@pytest.mark.parametrize(("terminal", "no_colour", "coloured"), [(True, "", True), (True, "1", False), (False, "", False)])
def test_colour_only_for_a_terminal_that_wants_it(
    terminal: bool, no_colour: str, coloured: bool, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.setenv("NO_COLOR", no_colour)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: terminal)
    main(["check", "solid-joist.json"])
    assert ("\x1b[" in capsys.readouterr().out) == coloured


@pytest.mark.usefixtures("designs")
def test_settings_that_make_no_sense_are_told(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    monkeypatch.setenv("BIRDSMOUTH_PACKS", "no/such/folder")
    assert main(["check", "solid-joist.json"]) == 2
    assert "BIRDSMOUTH_PACKS is “no/such/folder”, which is not a folder" in capsys.readouterr().err


def test_a_broken_mounted_pack_is_named_and_the_rest_still_judges(designs: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    broken = designs / "packs" / "broken"
    broken.mkdir(parents=True)
    (broken / "pack.yaml").write_text("id: [\n", encoding="utf-8")
    monkeypatch.setenv("BIRDSMOUTH_PACKS", str(designs / "packs"))
    assert main(["check", "solid-joist.json"]) == 0
    said = capsys.readouterr()
    assert "birdsmouth: the rule pack broken is left out: " in said.err
    assert "PASS  TARROWBY-J02" in said.out


@pytest.mark.usefixtures("designs")
@pytest.mark.parametrize("words", [["check", "solid-joist.json"], ["packs", "list"], ["packs", "show", "eurocode-timber"]])
def test_without_a_required_pack_nothing_is_done(words: list[str], monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    fault = PackFault("pack.yaml", 3, 1, "the release is no release")

    def refuse(_mounted: Path | None) -> None:
        raise LibraryRefused((BrokenPack("eurocode-timber", "shipped", (fault,), required=True),))

    monkeypatch.setattr("service.cli.here.load_library", refuse)
    assert main(words) == 2
    said = capsys.readouterr()
    assert "a required rule pack cannot be used" in said.err
    assert "the release is no release" in said.err
    assert said.out == ""


def test_faults_beyond_those_told_are_counted() -> None:
    refused = Refused([Fault("/members/0/grade", "unknown-grade", "No such grade.", "C99", ["C16", "C24"], "Choose one.")], more=7)
    assert list(refused.lines("t.json")) == [
        "t.json: /members/0/grade: No such grade. (found C99; allowed C16, C24) Choose one.",
        "t.json: and 7 more",
    ]


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
