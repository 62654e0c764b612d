"""Another distribution's `rules` in our place is noticed, named, and never run."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from birdsmouth.distribution import ShadowedPackage, require_own_packages, version


def stranger(folder: Path, package: str, text: str = "raise SystemExit('the stranger was run')\n") -> Path:
    (folder / package).mkdir(parents=True)
    (folder / package / "__init__.py").write_text(text, encoding="utf-8")
    return folder


def complaint(monkeypatch: pytest.MonkeyPatch, folder: Path) -> str:
    monkeypatch.syspath_prepend(str(folder))
    for name in ("rules", "solver", "service"):
        monkeypatch.delitem(sys.modules, name, raising=False)
    with pytest.raises(ShadowedPackage) as caught:
        require_own_packages()
    return str(caught.value)


def test_our_own_packages_pass() -> None:
    require_own_packages()


def test_a_stranger_in_front_is_named_by_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    said = complaint(monkeypatch, stranger(tmp_path, "rules"))
    assert f"'rules' is shadowed: import finds {tmp_path / 'rules' / '__init__.py'} instead" in said
    assert "no installed distribution claims it" in said
    assert "virtual environment of its own" in said


def test_an_installed_distribution_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stranger(tmp_path, "solver")
    about = tmp_path / "sudoku_solver-2.0.dist-info"
    about.mkdir()
    (about / "METADATA").write_text("Metadata-Version: 2.1\nName: sudoku-solver\nVersion: 2.0\n", encoding="utf-8")
    (about / "top_level.txt").write_text("solver\n", encoding="utf-8")
    assert "the distribution sudoku-solver brings it" in complaint(monkeypatch, tmp_path)


def test_a_package_that_says_it_is_someone_elses_is_quoted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "it says it belongs to gamekit" in complaint(monkeypatch, stranger(tmp_path, "rules", '__distribution__ = "gamekit"\n'))


def test_every_stranger_is_listed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stranger(tmp_path, "rules")
    stranger(tmp_path, "solver")
    said = complaint(monkeypatch, tmp_path)
    assert "'rules' is shadowed" in said
    assert "'solver' is shadowed" in said


def test_a_missing_package_is_named() -> None:
    with pytest.raises(ShadowedPackage, match="'no_such_package' is missing"):
        require_own_packages(["no_such_package"])


def test_a_namespace_folder_is_no_package_of_ours(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "plainfolder").mkdir()
    monkeypatch.syspath_prepend(str(tmp_path))
    with pytest.raises(ShadowedPackage, match="plainfolder"):
        require_own_packages(["plainfolder"])


def test_the_command_says_so_and_stops(tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(stranger(tmp_path, "rules"))}
    ended = subprocess.run(
        [sys.executable, "-P", "-m", "birdsmouth", "--version"], env=environment, capture_output=True, text=True, check=False
    )
    assert ended.returncode != 0
    assert "'rules' is shadowed" in ended.stderr
    assert "the stranger was run" not in ended.stderr


def test_the_version_is_the_installed_one() -> None:
    assert version()[0].isdigit()
