"""Imports run down only, and the check that says so has seen every module."""

import subprocess
import sys
from pathlib import Path

import grimp
import pytest

ROOT = Path(__file__).parents[2]
TOPS = ("birdsmouth", "service", "rules", "solver")


def modules_on_disk() -> set[str]:
    files = [file for top in TOPS for file in (ROOT / top).rglob("*.py")]
    dotted = (file.relative_to(ROOT).with_suffix("").parts for file in files)
    return {".".join(parts[:-1] if parts[-1] == "__init__" else parts) for parts in dotted}


@pytest.fixture(scope="module")
def graph() -> grimp.ImportGraph:
    return grimp.build_graph(*TOPS, cache_dir=None)


def test_every_module_has_been_seen(graph: grimp.ImportGraph) -> None:
    """A hyphen in a folder's name, or a missing __init__.py, would hide modules from the check without a word."""
    assert modules_on_disk() == set(graph.modules)
    assert len(graph.modules) > 100


def test_every_folder_is_a_package() -> None:
    folders = {file.parent for top in TOPS for file in (ROOT / top).rglob("*.py")}
    assert [folder for folder in folders if not (folder / "__init__.py").exists()] == []


def test_the_import_contracts_hold() -> None:
    """In a process of its own: the checker sets up logging, and that turns off every logger there is."""
    check = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"
    run = subprocess.run([sys.executable, "-c", check], cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr


@pytest.mark.parametrize("top", TOPS)
def test_each_layer_imports_none_above_it(graph: grimp.ImportGraph, top: str) -> None:
    above = TOPS[: TOPS.index(top)]
    up = [
        (own, other)
        for own in graph.modules
        if own.split(".")[0] == top
        for other in graph.find_modules_directly_imported_by(own)
        if other.split(".")[0] in above
    ]
    assert up == []


def test_rules_use_the_solver_only_through_its_face(graph: grimp.ImportGraph) -> None:
    inside = {
        (own, other)
        for own in graph.modules if own.startswith("rules")
        for other in graph.find_modules_directly_imported_by(own) if other.startswith("solver.")
    }  # fmt: skip
    assert inside == set()


def test_packs_never_import_each_other(graph: grimp.ImportGraph) -> None:
    def pack(name: str) -> str | None:
        return name.split(".")[2] if name.startswith("rules.packs.") else None

    crossing = {
        (own, other)
        for own in graph.modules if pack(own)
        for other in graph.find_modules_directly_imported_by(own) if pack(other) not in (None, pack(own))
    }  # fmt: skip
    assert crossing == set()
