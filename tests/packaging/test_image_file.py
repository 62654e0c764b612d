"""The image file, without a container engine: what it copies exists, what it runs is safe. `make check` lints it besides."""

import json
import re
import shlex
from pathlib import Path

ROOT = Path(__file__).parents[2]
TEXT = re.sub(r"\\\n\s*", " ", (ROOT / "Dockerfile").read_text(encoding="utf-8"))
LINES = [line for line in TEXT.splitlines() if line.strip() and not line.startswith("#")]
STAGES = [part.splitlines() for part in re.split(r"^(?=FROM )", "\n".join(LINES), flags=re.MULTILINE) if part.strip()]
LAST = STAGES[-1]


def instruction(name: str) -> str:
    return next(line for line in reversed(LAST) if line.startswith(f"{name} ")).split(" ", 1)[1].strip()


def ignored(path: str) -> bool:
    rules = [
        line.strip()
        for line in (ROOT / ".dockerignore").read_text(encoding="utf-8").splitlines()
        if line.strip() and not line.startswith("#")
    ]
    return "*" in rules and f"!{path}" not in rules


def test_everything_copied_exists_and_reaches_the_builder() -> None:
    copied = [word for line in LINES if line.startswith("COPY ") and "--from" not in line for word in shlex.split(line)[1:-1]]
    assert copied
    assert [path for path in copied if not (ROOT / path).exists()] == []
    assert [path for path in copied if ignored(path)] == []


def test_two_stages_of_one_slim_python() -> None:
    bases = [stage[0].split()[1] for stage in STAGES]
    assert len(bases) == 2
    assert len(set(bases)) == 1
    assert re.fullmatch(r"python:3\.1[1-4]-slim-\w+", bases[0])


def test_it_runs_as_nobody_in_particular_and_in_exec_form() -> None:
    assert re.fullmatch(r"[1-9]\d+:[1-9]\d+", instruction("USER"))
    assert json.loads(instruction("ENTRYPOINT")) == ["birdsmouth"]
    assert json.loads(instruction("CMD"))[0] == "serve"


def test_the_health_check_asks_for_readiness_without_curl() -> None:
    command = json.loads(re.sub(r"^.*?CMD ", "", instruction("HEALTHCHECK")))
    assert command[0] == "python"
    assert "/readyz" in command[2]
    compile(command[2], "health check", "exec")


def test_packages_are_installed_by_hash_and_the_last_stage_installs_nothing() -> None:
    assert not [line for line in LAST if line.startswith("RUN")]
    installs = re.findall(r"pip install [^&]+", TEXT)
    assert all("--require-hashes" in line or "--no-deps" in line for line in installs)
