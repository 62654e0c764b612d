"""What a reader may rely on in every module."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOPS = ("birdsmouth", "service", "rules", "solver")
FILES = sorted(file for top in TOPS for file in (ROOT / top).rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("*.py"))
VAGUE = {"utils", "util", "helpers", "helper", "manager", "base", "common", "misc"}


def name(file: Path) -> str:
    return str(file.relative_to(ROOT))


@pytest.mark.parametrize("top", TOPS)
def test_each_top_package_says_whose_it_is(top: str) -> None:
    tree = ast.parse((ROOT / top / "__init__.py").read_text(encoding="utf-8"))
    said = {
        target.id: node.value
        for node in tree.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    assert isinstance(said["__distribution__"], ast.Constant)
    assert said["__distribution__"].value == "birdsmouth"


def describes_itself(node: ast.FunctionDef | ast.ClassDef) -> bool:
    """Private, documented, or a quantity of a pack, whose symbol, unit and clause stand in its decorator."""
    marks = {mark.func.id for mark in node.decorator_list if isinstance(mark, ast.Call) and isinstance(mark.func, ast.Name)}
    return node.name.startswith("_") or bool(ast.get_docstring(node)) or "quantity" in marks


@pytest.mark.parametrize("file", FILES, ids=name)
def test_every_module_has_a_docstring_and_every_public_name_too(file: Path) -> None:
    tree = ast.parse(file.read_text(encoding="utf-8"))
    public = [node for node in tree.body if isinstance(node, ast.FunctionDef | ast.ClassDef)]
    assert ast.get_docstring(tree) or not tree.body, "the module has no docstring"
    assert [node.name for node in public if not describes_itself(node)] == []


@pytest.mark.parametrize("file", FILES, ids=name)
def test_no_module_has_a_vague_name(file: Path) -> None:
    assert not {file.stem, file.parent.name} & VAGUE


@pytest.mark.parametrize("file", [*FILES, *(file for file in TESTS if file.name != Path(__file__).name)], ids=name)
def test_nothing_is_left_undone_or_silenced_without_a_reason(file: Path) -> None:
    source = file.read_text(encoding="utf-8")
    assert not re.search(r"\b(TODO|FIXME|XXX)\b", source)
    assert not re.search(r"pragma: no cover|pytest\.(mark\.)?(skip|xfail)|importorskip", source)
    for line in source.splitlines():
        silenced = re.search(r"#\s*(type: ignore|noqa)(\[[\w, -]+\]|: ?[A-Z]+[0-9]+(, ?[A-Z]+[0-9]+)*)?(?P<reason>.*)$", line)
        assert silenced is None or (silenced.group(2) and len(silenced.group("reason").strip(" #-")) > 3), line.strip()


def test_tests_hold_no_packages() -> None:
    """pytest imports each file by itself; an __init__.py would make folders importable under names that clash.

    The outside pack is a distribution of its own, which only lies here.
    """
    outside = ROOT / "tests" / "outside_pack"
    assert [file for file in (ROOT / "tests").rglob("__init__.py") if outside not in file.parents] == []
