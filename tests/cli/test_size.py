"""`birdsmouth size` as typed: what it takes, what it writes, and its status."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.cli import main
from service.demo import read_design

STOCK = {
    "stock": [{"id": f"47 x {h}", "b_mm": 47, "h_mm": h, "grade": "C24"} for h in (147, 195, 220)],
    "vary": [{"name": "joist", "role": "joist"}],
}


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "joist.json").write_bytes(read_design("solid-joist"))
    (tmp_path / "stock.json").write_text(json.dumps(STOCK))
    (tmp_path / "request.json").write_text(json.dumps({"design": json.loads(read_design("solid-joist")), **STOCK}))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def told(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> str:
    assert main(["size", *words]) == status
    return capsys.readouterr().out


@pytest.mark.usefixtures("here")
def test_a_design_with_stock_and_a_whole_request_say_the_same(capsys):
    apart = json.loads(told(capsys, "joist.json", "--stock", "stock.json", "--format", "json"))
    whole = json.loads(told(capsys, "request.json", "--format", "json"))
    assert apart["best"] == whole["best"]
    assert apart["outcome"] == "found"


def test_the_design_as_chosen_passes_a_check(here, capsys):
    told(capsys, "joist.json", "--stock", "stock.json", "--format", "design", "--output", "chosen.json")
    assert json.loads((here / "chosen.json").read_text())["format"] == "birdsmouth-design-1"
    assert main(["check", "chosen.json"]) == 0


def test_where_nothing_passes_the_status_is_one(here, capsys):
    (here / "stock.json").write_text(json.dumps({**STOCK, "stock": STOCK["stock"][:1]}))
    assert "NOTHING PASSES" in told(capsys, "joist.json", "--stock", "stock.json", status=1)
    assert main(["size", "joist.json", "--stock", "stock.json", "--format", "design"]) == 2
    assert "no design to write" in capsys.readouterr().err


@pytest.mark.usefixtures("here")
def test_options_stand_over_the_request(capsys):
    short = json.loads(told(capsys, "request.json", "--most-checks", "1", "--allow", "open", "--format", "json", status=1))
    assert short["counted"]["checked"] == 1
    assert short["allow"] == ["open"]
    assert short["outcome"] == "not-found"


def test_faults_are_told_with_their_places_and_status_two(here, capsys):
    (here / "stock.json").write_text(json.dumps({**STOCK, "stock": [{**STOCK["stock"][0], "grade": "Oak"}]}))
    assert main(["size", "joist.json", "--stock", "stock.json"]) == 2
    assert capsys.readouterr().err.startswith("joist.json with stock.json: /stock/0/grade: ")
    (here / "stock.json").write_text("[]")
    assert main(["size", "joist.json", "--stock", "stock.json"]) == 2
    (here / "stock.json").write_text("{")
    assert main(["size", "joist.json", "--stock", "stock.json"]) == 2


@pytest.mark.usefixtures("here")
@pytest.mark.parametrize(("form", "word"), [("markdown", "# Sizing of"), ("html", "<!doctype html>"), ("text", "TRIED")])
def test_it_is_written_for_people_too(capsys, form, word):
    assert word in told(capsys, "request.json", "--format", form)
