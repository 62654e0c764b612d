"""Below the service there is no clock, no environment, no chance and no state that outlives a call: the same design gives the same bytes."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PURE = ("rules", "solver")
BANNED_CALLS = {
    "datetime.now", "datetime.utcnow", "datetime.today", "date.today", "datetime.datetime.now", "datetime.datetime.utcnow", "datetime.datetime.today",
    "datetime.date.today", "os.environ", "os.getenv", "os.putenv", "os.getcwd", "np.random", "numpy.random", "uuid.uuid4", "uuid.uuid1",
}  # fmt: skip
BANNED_MODULES = {
    "time",
    "random",
    "secrets",
    "uuid",
    "socket",
    "subprocess",
    "threading",
    "multiprocessing",
    "requests",
    "flask",
    "gunicorn",
}
CHANGING = {"append", "extend", "insert", "add", "update", "setdefault", "pop", "popitem", "remove", "discard", "clear", "sort", "reverse"}
CACHES = {"cache", "lru_cache", "cached", "functools.cache", "functools.lru_cache"}


def modules() -> list[Path]:
    return sorted(file for top in PURE for file in (ROOT / top).rglob("*.py"))


def dotted(node: ast.AST) -> str:
    if isinstance(node, ast.Attribute):
        return f"{dotted(node.value)}.{node.attr}"
    return node.id if isinstance(node, ast.Name) else ""


def impurities(source: str) -> Iterator[str]:
    tree = ast.parse(source)
    names = {target.id for node in tree.body for target in targets(node)}
    for node in ast.walk(tree):
        yield from imports(node)
        if isinstance(node, ast.Attribute) and any(
            dotted(node) == banned or dotted(node).startswith(banned + ".") for banned in BANNED_CALLS
        ):
            yield f"line {node.lineno}: {dotted(node)}"
        if isinstance(node, ast.Global | ast.Nonlocal) and isinstance(node, ast.Global):
            yield f"line {node.lineno}: global {', '.join(node.names)}"
        if isinstance(node, ast.FunctionDef) and any(
            dotted(mark.func if isinstance(mark, ast.Call) else mark) in CACHES for mark in node.decorator_list
        ):
            yield f"line {node.lineno}: {node.name} keeps a cache of the module's own"
    for function in (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)):
        yield from changes(function, names - locals_of(function))


def targets(node: ast.stmt) -> Iterator[ast.Name]:
    found = node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
    yield from (target for target in found if isinstance(target, ast.Name))


def imports(node: ast.AST) -> Iterator[str]:
    named = (
        [alias.name for alias in node.names]
        if isinstance(node, ast.Import)
        else [node.module or ""]
        if isinstance(node, ast.ImportFrom)
        else []
    )
    for name in named:
        if name.split(".")[0] in BANNED_MODULES:
            yield f"line {getattr(node, 'lineno', 0)}: imports {name}"


def locals_of(function: ast.FunctionDef) -> set[str]:
    arguments = {argument.arg for argument in ast.walk(function) if isinstance(argument, ast.arg)}
    return arguments | {node.id for node in ast.walk(function) if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)}


def changes(function: ast.FunctionDef, module_names: set[str]) -> Iterator[str]:
    """A function that changes something the module holds: NAME[…] = …, NAME.append(…), NAME += …"""
    for node in ast.walk(function):
        if isinstance(node, ast.Subscript) and not isinstance(node.ctx, ast.Load) and dotted(node.value) in module_names:
            yield f"line {node.lineno}: {function.name} changes {dotted(node.value)}"
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr in CHANGING
            and dotted(node.func.value) in module_names
        ):
            yield f"line {node.lineno}: {function.name} changes {dotted(node.func.value)}"


@pytest.mark.parametrize("file", modules(), ids=lambda file: str(file.relative_to(ROOT)))
def test_module_is_pure(file: Path) -> None:
    assert list(impurities(file.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize(
    "source",
    [
        "import time", "from time import monotonic", "import datetime\nx = datetime.datetime.now()", "from datetime import date\ndef f(): return date.today()",
        "import os\ny = os.environ['A']", "import os\ny = os.getenv('A')", "import numpy as np\nr = np.random.default_rng()", "N = 0\ndef f():\n  global N\n  N += 1",
        "SEEN = {}\ndef f(a): SEEN[a] = 1", "SEEN = []\ndef f(a): SEEN.append(a)", "from functools import cache\n@cache\ndef f(): ...",
        "from functools import lru_cache\n@lru_cache(maxsize=3)\ndef f(): ...", "import flask",
    ],
)  # fmt: skip
def test_the_scan_finds_what_it_is_for(source: str) -> None:
    assert list(impurities(source)) != []


@pytest.mark.parametrize(
    "source",
    [
        "SEEN = {}\ndef f(SEEN, a): SEEN[a] = 1",
        "def f(a):\n  seen = []\n  seen.append(a)",
        "import datetime\ndef f(day: datetime.date): ...",
    ],
)
def test_the_scan_lets_innocent_code_be(source: str) -> None:
    assert list(impurities(source)) == []
