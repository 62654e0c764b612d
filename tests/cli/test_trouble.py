"""What cannot be done, and what goes wrong: said in a sentence, ended with a status of its own, and never a pass."""

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

Captured = pytest.CaptureFixture[str]


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
        *(
            ([*words, "--packs", ".", "--server", "http://127.0.0.1:9"], "--packs reads packs here and --server works elsewhere")
            for words in (["check", "solid-joist.json"], ["expand", "solid-joist.json"], ["bulk", "solid-joist.json"])
        ),
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
