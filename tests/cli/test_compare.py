"""`birdsmouth compare` as typed: sides made of files, packs, days, or a list; what it writes, and its status."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.cli import main
from service.demo import read_design
from service.openapi.examples import SMALL_COMPARISON


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("fink", "solid-joist", "open-web-joist"):
        (tmp_path / f"{name}.json").write_bytes(read_design(name))
    (tmp_path / "request.json").write_text(json.dumps(SMALL_COMPARISON[2]))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def told(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> str:
    assert main(["compare", *words]) == status
    return capsys.readouterr().out


@pytest.mark.usefixtures("here")
def test_several_designs_are_sides_by_their_files(capsys):
    comparison = json.loads(told(capsys, "fink.json", "solid-joist.json", "--format", "json"))
    assert [side["name"] for side in comparison["sides"]] == ["fink", "solid-joist"]


@pytest.mark.usefixtures("here")
def test_files_of_one_name_are_told_apart(here, capsys):
    (here / "old").mkdir()
    (here / "old" / "fink.json").write_bytes(read_design("fink"))
    comparison = json.loads(told(capsys, "fink.json", "old/fink.json", "--format", "json"))
    assert [side["name"] for side in comparison["sides"]] == ["fink.json", "old/fink.json"]


@pytest.mark.usefixtures("here")
def test_what_is_open_counts_unless_it_is_allowed(capsys):
    told(capsys, "open-web-joist.json", "solid-joist.json", status=1)
    told(capsys, "open-web-joist.json", "solid-joist.json", "--allow", "open")


@pytest.mark.usefixtures("here")
def test_packs_and_days_are_sides(capsys):
    packs = told(capsys, "fink.json", "--pack", "eurocode-timber,uk-national", "--pack", "eurocode-timber", "--format", "json", status=1)
    assert [side["verdict"] for side in json.loads(packs)["sides"]] == ["pass", "fail"]
    days = told(capsys, "fink.json", "--as-of", "2026-01-01", "--as-of", "2027-01-01")
    assert "2026-01-01" in days
    assert "CHECK BY CHECK" in days


@pytest.mark.usefixtures("here")
def test_a_list_of_sides_stands_in_a_file(here, capsys):
    american = {
        "name": "NDS",
        "site": {"country": "US", "subdivision": None, "district": None, "snow_ground_edition": "ASCE 7-16"},
        "grades": {"C24": "DF-L No.2", "C16": "SPF No.1/No.2"},
    }
    (here / "sides.json").write_text(json.dumps([{"name": "Eurocode"}, american]))
    comparison = json.loads(told(capsys, "fink.json", "--sides", "sides.json", "--format", "json", status=1))
    assert [side["tradition"] for side in comparison["sides"]] == ["en", "us"]
    assert [side["verdict"] for side in comparison["sides"]] == ["pass", "open"]


@pytest.mark.usefixtures("here")
@pytest.mark.parametrize(
    ("form", "mark"), [("text", "COMPARISON of 2"), ("markdown", "# Comparison of 2"), ("html", "<h1>Comparison of 2")]
)
def test_a_comparison_by_itself_in_every_form(here, capsys, form, mark):
    assert mark in told(capsys, "request.json", "--format", form, status=1)
    told(capsys, "request.json", "--format", form, "--output", "out", status=1)
    assert mark in (here / "out").read_text("utf-8")


@pytest.mark.usefixtures("here")
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["fink.json", "solid-joist.json", "--as-of", "2026-01-01"], "name the sides in one way"),
        (["fink.json"], "is one design: name a second one"),
        (["fink.json", "--as-of", "2026-01-01"], "/sides"),
        (["nowhere.json"], "cannot read nowhere.json"),
        (["fink.json", "--sides", "fink.json"], "a JSON list of sides"),
        (["fink.json", "--pack", "oak", "--pack", "ash"], "/sides/0/codes/packs/0"),
        (["request.json", "--packs", ".", "--server", "http://127.0.0.1:9"], "--packs reads packs here"),
    ],
)
def test_what_cannot_be_compared_is_refused_with_reasons(capsys, words, said):
    assert main(["compare", *words]) == 2
    assert said in capsys.readouterr().err
