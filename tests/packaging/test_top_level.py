"""What stands at the top: a newcomer finds the way in one screen."""

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).parents[2]
ALLOWED = {
    "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "Makefile", "pyproject.toml", "openapi.yaml", "Dockerfile",
    "service", "rules", "solver", "tests", "birdsmouth",
}  # fmt: skip


def committed() -> list[str]:
    return subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.splitlines()


def test_the_top_holds_only_what_belongs_there() -> None:
    tops = {path.split("/")[0] for path in committed()}
    assert {top for top in tops - ALLOWED if not top.startswith(".") and not re.fullmatch(r"requirements(-\w+)?\.(lock|txt)", top)} == set()


def test_everything_that_belongs_there_is_there() -> None:
    assert {name for name in ALLOWED if not (ROOT / name).exists()} == set()


def test_no_large_or_made_file_is_committed() -> None:
    present = [ROOT / path for path in committed() if (ROOT / path).exists()]
    assert [str(path) for path in present if path.stat().st_size > 500_000] == []
    assert [path for path in committed() if re.search(r"__pycache__|\.pyc$|(^|/)birdsmouth-demo/|\.venv/", path)] == []
