"""The page for developers: its rules work as printed, and every dependency has its reason."""

import re
import shlex
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from rules.library import PackSource, load_library
from rules.library.loading import library_of
from rules.library.testing import complaints
from service.cli import main
from service.demo import design_names, read_design

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
DEPENDENCIES = [*PROJECT["dependencies"], *(text for group in PROJECT["optional-dependencies"].values() for text in group)]
Blocks = dict[str, list[tuple[str, str]]]


def files(blocks: Blocks, folder: Path) -> list[str]:
    """Write each block that begins with its file's name there; returns the names."""
    names = []
    for language, text in blocks["DEVELOPERS.md"]:
        head = re.match(r"# (\S+\.(?:yaml|py))\n", text)
        if language in ("yaml", "python") and head:
            target = folder / head.group(1)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(text, encoding="utf-8")
            names.append(head.group(1))
    return names


@pytest.mark.parametrize("name", sorted({Requirement(text).name for text in DEPENDENCIES}))
def test_every_dependency_has_its_reason(name: str) -> None:
    line = next((line for line in PAGE.splitlines() if line.startswith("- ") and f"**{name}**" in line), "")
    assert len(line.split("**:", 1)[-1].split()) >= 2, f"{name} has no line of its own"


def test_no_reason_is_given_for_what_is_no_dependency() -> None:
    named = {
        name
        for line in PAGE.splitlines()
        if line.startswith("- **")
        for name in re.findall(r"\*\*([\w.-]+)\*\*", line.split("**:")[0] + "**")
    }
    assert named == {Requirement(text).name for text in DEPENDENCIES}


def test_the_declared_rule_works_as_printed(
    blocks: Blocks, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    files(blocks, tmp_path)
    (tmp_path / "birdsmouth-demo").mkdir()
    for name in design_names():
        (tmp_path / "birdsmouth-demo" / f"{name}.json").write_bytes(read_design(name))
    lines = [line for language, text in blocks["DEVELOPERS.md"] if language == "console" for line in text.splitlines()]
    assert len(lines) == 2
    for line, status, words in zip(lines, (0, 1), ("deep-enough-to-handle", "wants a depth of 97 mm"), strict=True):
        setting, _, *rest = shlex.split(line)
        monkeypatch.setenv(*setting.split("="))
        assert main(rest) == status
        said = capsys.readouterr()
        assert words in said.out
        assert said.err == ""


def test_the_declared_rule_stands_its_own_examples(blocks: Blocks, tmp_path: Path) -> None:
    files(blocks, tmp_path)
    library = load_library(tmp_path / "my-packs")
    assert library.broken == ()
    assert list(complaints(library.pack("tarrowby-practice"), library)) == []


def test_the_formula_rule_works_as_printed(blocks: Blocks, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "stranger" / "tarrowby_formulas"
    files(blocks, folder)
    (folder / "pack.yaml").write_text((folder / "my-packs/tarrowby/pack.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    for extra in (folder / "my-packs/tarrowby/declared/deep-enough-to-handle.yaml", folder / "my-packs/tarrowby/pack.yaml"):
        extra.unlink()
    for made in ("my-packs/tarrowby/declared", "my-packs/tarrowby", "my-packs"):
        (folder / made).rmdir()
    for package in (folder.parent, folder, folder / "formulas"):
        (package / "__init__.py").write_text('"""A pack."""\n', encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    try:
        library = library_of([PackSource(folder, "stranger.tarrowby_formulas", "installed")])
        assert library.broken == ()
        assert [rule.slug for rule in library.pack("tarrowby-practice").rules] == ["slenderness"]
        assert list(complaints(library.pack("tarrowby-practice"), library)) == []
    finally:
        for name in [name for name in sys.modules if name.split(".")[0] == "stranger"]:
            del sys.modules[name]


@pytest.mark.parametrize(
    "setting",
    re.findall(
        r'"(BIRDSMOUTH_\w+)"',
        (ROOT / "service" / "settings.py").read_text(encoding="utf-8") + (ROOT / "service" / "serving.py").read_text(encoding="utf-8"),
    ),
)
def test_every_setting_is_documented(setting: str) -> None:
    assert setting in PAGE


@pytest.mark.parametrize("target", re.findall(r"`make (\w+)", PAGE))
def test_every_make_target_it_names_exists(target: str) -> None:
    assert re.search(rf"^{target}:", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)
