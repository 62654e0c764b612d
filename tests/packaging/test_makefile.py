"""`make` on machines that lack something says what is missing and stops."""

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MAKEFILE = (ROOT / "Makefile").read_text(encoding="utf-8")
TOOLS = ("bash", "make", "sed", "cat", "mkdir", "touch")


def program(folder: Path, name: str, script: str) -> None:
    file = folder / name
    file.write_text(f"#!/bin/bash\n{script}\n", encoding="utf-8")
    file.chmod(0o755)


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    """A folder of programs, to be the whole PATH: a shell and make, and no Python yet."""
    folder = tmp_path / "bin"
    folder.mkdir()
    for tool in TOOLS:
        (folder / tool).symlink_to(Path(shutil.which(tool) or tool).resolve())
    return folder


def make(machine: Path, target: str, *words: str) -> subprocess.CompletedProcess[str]:
    environment = {"PATH": str(machine), "HOME": str(machine)}
    command = [
        str(machine / "make"),
        "-f",
        str(ROOT / "Makefile"),
        target,
        f"VENV={machine.parent / 'venv'}",
        f"SHELL={machine / 'bash'}",
        *words,
    ]
    return subprocess.run(command, cwd=machine.parent, env=environment, capture_output=True, text=True, check=False)


def fake_python(machine: Path, name: str, version: str, *, venv: bool) -> None:
    new_enough = "0" if tuple(map(int, version.split("."))) >= (3, 11) else "1"
    script = f"""case "$*" in
      *ensurepip*) exit {0 if venv else 1};;
      *version_info:2* | *version_info\\[:2\\]*) echo {version};;
      *version_info*) exit {new_enough};;
      --version) echo "Python {version}.0";;
      "-m venv "*) mkdir -p "$3/bin"; echo {version} > "$3/made-with"; touch "$3/bin/python";;
    esac"""
    program(machine, name, script)


def test_without_a_python_it_says_what_to_install(machine: Path) -> None:
    ended = make(machine, f"{machine.parent / 'venv'}/bin/python")
    assert ended.returncode == 2
    assert "no Python 3.11 or newer on PATH" in ended.stderr
    assert "apt-get install python3 python3-venv" in ended.stderr


def test_a_python_too_old_is_no_python(machine: Path) -> None:
    fake_python(machine, "python3", "3.10", venv=True)
    assert "no Python 3.11 or newer" in make(machine, f"{machine.parent / 'venv'}/bin/python").stderr


def test_without_ensurepip_it_names_the_package_of_that_version(machine: Path) -> None:
    fake_python(machine, "python3.12", "3.12", venv=False)
    ended = make(machine, f"{machine.parent / 'venv'}/bin/python")
    assert ended.returncode == 2
    assert "apt-get install python3.12-venv" in ended.stderr


def test_the_newest_python_that_runs_is_taken(machine: Path) -> None:
    program(machine, "python3.14", "exit 127")
    fake_python(machine, "python3.11", "3.11", venv=True)
    fake_python(machine, "python3.13", "3.13", venv=True)
    fake_python(machine, "python3", "3.12", venv=True)
    ended = make(machine, f"{machine.parent / 'venv'}/bin/python")
    assert ended.returncode == 0, ended.stderr
    assert (machine.parent / "venv" / "made-with").read_text(encoding="utf-8").strip() == "3.13"


def test_another_python_can_be_asked_for(machine: Path) -> None:
    fake_python(machine, "python3.13", "3.13", venv=True)
    fake_python(machine, "mine", "3.11", venv=True)
    make(machine, f"{machine.parent / 'venv'}/bin/python", f"PYTHON={machine / 'mine'}")
    assert (machine.parent / "venv" / "made-with").read_text(encoding="utf-8").strip() == "3.11"


def test_every_target_of_the_help_exists(machine: Path) -> None:
    told = make(machine, "help").stdout
    targets = set(re.findall(r"^([a-z]+):", MAKEFILE, re.MULTILINE))
    assert set(re.findall(r"make ([a-z]+)", told)) <= targets
    assert {"demo", "test", "check", "lock", "prove"} <= targets


def test_a_lock_with_an_address_is_refused_and_the_old_one_stays(tmp_path: Path) -> None:
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    for name in ("requirements.lock", "requirements-run.lock", "requirements-build.lock"):
        (tmp_path / name).write_text("old\n", encoding="utf-8")
    tools = tmp_path / ".venv" / "bin"
    tools.mkdir(parents=True)
    program(tools, "python", "echo hatchling")
    program(tools, "uv", 'while [ "$1" != -o ]; do shift; done; printf -- "--index-url https://example.org/simple\\n" > "$2"')
    ended = subprocess.run(
        ["make", "-f", str(ROOT / "Makefile"), "lock"], cwd=tmp_path, env={**os.environ}, capture_output=True, text=True, check=False
    )
    assert ended.returncode == 2
    assert "holds an address" in ended.stderr
    assert (tmp_path / "requirements.lock").read_text(encoding="utf-8") == "old\n"


def test_ci_runs_the_documented_commands() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert re.search(r"^make check\b", script, re.MULTILINE)
    assert re.search(r"^make test\b", script, re.MULTILINE)
    assert os.access(ROOT / ".ci" / "run", os.X_OK)
    subprocess.run(["bash", "-n", str(ROOT / ".ci" / "run")], check=True)
