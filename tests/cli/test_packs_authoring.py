"""`birdsmouth packs new|lint|test|schema`: from nothing to a tested rule, and what an author hears on the way."""

import json
from pathlib import Path

import pytest

from service.cli import main


@pytest.fixture
def fresh(tmp_path: Path) -> Path:
    assert main(["packs", "new", str(tmp_path / "hill"), "--id", "hill-practice", "--title", "What the hill asks"]) == 0
    return tmp_path / "hill"


def test_a_new_pack_is_sound_from_the_start(fresh: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["packs", "lint", str(fresh)]) == 0
    assert capsys.readouterr().out.endswith("hill-practice==1@0.1.0: 0 faults, 0 to know of\n")
    assert main(["packs", "test", str(fresh)]) == 0
    assert "1 of 1 declared rules pinned down; 10 of 10 small changes noticed" in capsys.readouterr().out


def test_a_new_pack_is_mounted_and_shown(fresh: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert main(["packs", "show", "hill-practice", "--packs", str(fresh)]) == 0
    assert "webs-deep-enough" in capsys.readouterr().out


def test_nothing_is_written_over(fresh: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = {file: file.read_bytes() for file in fresh.rglob("*") if file.is_file()}
    assert main(["packs", "new", str(fresh), "--id", "other", "--title", "Other"]) == 2
    assert "not empty" in capsys.readouterr().err
    assert {file: file.read_bytes() for file in fresh.rglob("*") if file.is_file()} == before


@pytest.mark.parametrize(("id", "title"), [("Hill", "x"), ("a b", "x"), ("hill", " ")])
def test_names_that_are_none_are_refused(tmp_path: Path, id: str, title: str) -> None:
    assert main(["packs", "new", str(tmp_path / "p"), "--id", id, "--title", title]) == 2
    assert not (tmp_path / "p").exists()


def test_faults_come_with_file_line_and_column(fresh: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rule = fresh / "declared" / "webs-deep-enough.yaml"
    rule.write_text(rule.read_text("utf-8").replace("unit: mm", "unit: deg"), "utf-8")
    capsys.readouterr()
    assert main(["packs", "lint", str(fresh)]) == 1
    said = capsys.readouterr().out
    assert f"{fresh}/declared/webs-deep-enough.yaml:15:9: this gives mm, and the rule is measured in deg" in said
    assert main(["packs", "lint", str(fresh), "--format", "json"]) == 1
    faults = json.loads(capsys.readouterr().out)["faults"]
    assert {(each["file"], each["line"]) for each in faults} == {
        ("declared/webs-deep-enough.yaml", 15),
        ("declared/webs-deep-enough.yaml", 16),
    }


def test_a_change_no_example_notices_is_named(fresh: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rule = fresh / "declared" / "webs-deep-enough.yaml"
    kept = [line for line in rule.read_text("utf-8").splitlines(keepends=True) if "barely" not in line]
    text = (
        "".join(kept)
        .replace("3300", "3700")
        .replace("member.h_mm: 97}", "member.h_mm: 120}")
        .replace(
            "member.length_mm: 3000, member.h_mm: 72}, expect: notApplicable", "member.length_mm: 3600, member.h_mm: 72}, expect: fail"
        )
    )
    rule.write_text(text, "utf-8")
    capsys.readouterr()
    assert main(["packs", "test", str(fresh)]) == 1
    said = capsys.readouterr().out
    assert "UNNOTICED value.web_depth_min_mm: 97 is 97.97" in said
    assert "no example comes near member.length_mm > value.long_web_mm" in said


def test_shipped_packs_with_formulas_are_tested_too(capsys: pytest.CaptureFixture[str]) -> None:
    folder = Path(__file__).parents[2] / "rules" / "packs" / "eurocode_timber"
    assert main(["packs", "test", str(folder)]) == 0
    assert "all their cases come out" in capsys.readouterr().out


def test_a_folder_that_is_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["packs", "lint", str(tmp_path / "nowhere")]) == 2
    assert "is no folder" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["pack", "values", "materials", "declared", "cases"])
def test_schemas_are_printed(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["packs", "schema", name]) == 0
    assert json.loads(capsys.readouterr().out)["$schema"] == "http://json-schema.org/draft-07/schema#"
