"""Packs that do not ship: installed from a distribution of their own, mounted from a folder, or copied out of ours; all over HTTP."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import requests

from rules.library.loading import held_sources, library_of, load_library
from rules.library.reading import PackSource
from rules.library.skeleton import skeleton
from service.cli.gunicorn import running
from service.http import create_app
from service.openapi.examples import SMALL_ROOF

OUTSIDE = Path(__file__).parents[1] / "outside_pack"


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the outside distribution is installed, the way a stranger installs it: a wheel by pip, into a place of its own."""
    source, target = tmp_path_factory.mktemp("source") / "pack", tmp_path_factory.mktemp("site")
    shutil.copytree(OUTSIDE, source, ignore=shutil.ignore_patterns("__pycache__"))
    words = [
        sys.executable,
        "-m",
        "pip",
        "install",
        "-q",
        "--no-deps",
        "--no-build-isolation",
        "--no-index",
        "--target",
        str(target),
        str(source),
    ]
    subprocess.run([*words, "--disable-pip-version-check"], check=True, capture_output=True, text=True)
    return target


@pytest.fixture
def asked() -> Iterator[requests.Session]:
    with requests.Session() as session:
        session.trust_env = False
        yield session


def rules_of(report: dict[str, Any], pack: str) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for finding in report["findings"]:
        if finding["rule"].startswith(f"{pack}/"):
            found.setdefault(finding["rule"].partition("/")[2], set()).add(finding["kind"])
    return found


def test_it_imports_nothing_but_the_public_name() -> None:
    text = "\n".join(file.read_text("utf-8") for file in OUTSIDE.rglob("*.py"))
    named = set(re.findall(r"^\s*(?:from|import) (\w+)", text, re.MULTILINE))
    assert named == {"birdsmouth", "numpy", "pathlib"}


def test_an_installed_pack_judges_over_http(installed: Path, asked: requests.Session, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PYTHONPATH", str(installed))
    with running(workers=1) as address:
        listed = asked.get(f"{address}/v1/packs").json()
        assert listed["broken"] == []
        assert next(pack["origin"] for pack in listed["packs"] if pack["id"] == "larch-mill") == "installed"
        report = asked.post(f"{address}/v1/checks?include=all", json=SMALL_ROOF).json()
        found = rules_of(report, "larch-mill")
        assert set(found) == {"no-long-pieces", "larch-slenderness"}
        assert found["no-long-pieces"] == {"pass"}
        assert "pass" in found["larch-slenderness"]
        page = asked.get(f"{address}/v1/rules/larch-mill/larch-slenderness").json()
        assert page["judgements"][0]["parameters"][0]["value"] == 200


def test_a_mounted_pack_judges_and_a_broken_one_beside_it_is_named(
    tmp_path: Path, asked: requests.Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    for folder, more in (("good", {}), ("bad", {"formulas/x.py": "raise SystemExit"})):
        for name, text in (skeleton(f"hill-{folder}", "What the hill asks") | more).items():
            (tmp_path / folder / name).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / folder / name).write_text(
                text.replace("web_depth", f"{folder}_depth").replace("long_web", f"{folder}_web"), "utf-8"
            )
    monkeypatch.setenv("BIRDSMOUTH_PACKS", str(tmp_path))
    with running(workers=1) as address:
        for path in ("/v1/packs", "/readyz"):
            (broken,) = asked.get(f"{address}{path}").json()["broken"]
            assert (broken["name"], broken["origin"], broken["required"]) == ("bad", "mounted", False)
            assert broken["faults"] == ["formulas/x.py:0:0: a mounted pack holds no Python (install the pack, or declare the rule in YAML)"]
        report = asked.post(f"{address}/v1/checks?include=all", json=SMALL_ROOF).json()
        assert rules_of(report, "hill-good") == {"webs-deep-enough": {"notApplicable"}}


SERVER = ["gunicorn", "--config", "python:service.serving", "--bind", "127.0.0.1:0", "service.http.wsgi:app"]


@pytest.mark.parametrize(
    "words",
    [["birdsmouth", "packs", "list"], ["birdsmouth", "serve", "--port", "1"], SERVER],
    ids=["packs list", "serve", "gunicorn"],
)
def test_a_broken_pack_that_is_required_stops_the_start(tmp_path: Path, words: list[str]) -> None:
    (tmp_path / "hill").mkdir()
    (tmp_path / "hill" / "pack.yaml").write_text("id: hill\nrequired: true\nlayer: whim\n", "utf-8")
    settings = {**os.environ, "BIRDSMOUTH_PACKS": str(tmp_path), "BIRDSMOUTH_WORKERS": "1"}
    ended = subprocess.run([sys.executable, "-m", *words], capture_output=True, text=True, check=False, env=settings, timeout=120)
    assert ended.returncode == 2, ended.stderr
    assert "a required rule pack cannot be used:\n" in ended.stderr
    assert "hill/pack.yaml:3:8: 'whim' is none of code, grades, national, region, practice" in ended.stderr
    assert "Traceback" not in ended.stderr


def test_a_shipped_pack_copied_out_with_its_import_swapped_says_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import rules.packs

    own = Path(rules.packs.__file__).parent / "eurocode_timber"
    shutil.copytree(own, tmp_path / "copied_timber", ignore=shutil.ignore_patterns("__pycache__"))
    swapped = 0
    for file in (tmp_path / "copied_timber").rglob("*.py"):
        text, count = re.subn(r"from rules\.library(?:\.\w+)? import", "from birdsmouth import", file.read_text("utf-8"))
        text = text.replace("rules.packs.eurocode_timber", "copied_timber")
        assert "from rules" not in text, file
        file.write_text(text, "utf-8")
        swapped += count
    assert swapped > 5
    monkeypatch.syspath_prepend(str(tmp_path))
    others = [source for source in held_sources() if source.folder.name != "eurocode_timber" and source.origin == "shipped"]
    copied = library_of([*others, PackSource(tmp_path / "copied_timber", "copied_timber", "installed")])
    assert copied.broken == ()
    said = [
        create_app(library=library).test_client().post("/v1/checks?include=all", json=SMALL_ROOF).get_json()
        for library in (copied, load_library())
    ]
    assert said[0]["findings"] == said[1]["findings"]
    assert len(said[0]["findings"]) > 20
