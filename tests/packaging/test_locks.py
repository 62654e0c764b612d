"""The lock files: complete, hashed, without an address, and right for every Python that is promised."""

import re
import tomllib
from pathlib import Path

import pytest
from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
LOCKS = {
    "requirements.lock": ("run", "test", "check", "build"),
    "requirements-run.lock": ("run",),
    "requirements-build.lock": ("build",),
}
PYTHONS = ("3.11", "3.12", "3.13", "3.14")


def pins(lock: str) -> list[tuple[Requirement, list[str]]]:
    text = re.sub(r"\\\n\s*", " ", (ROOT / lock).read_text(encoding="utf-8"))
    lines = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    return [(Requirement(line.split(" --hash=")[0]), re.findall(r"--hash=(\S+)", line)) for line in lines]


def wanted(groups: tuple[str, ...]) -> list[Requirement]:
    extras = PROJECT["project"]["optional-dependencies"]
    return [Requirement(text) for group in groups for text in (PROJECT["project"]["dependencies"] if group == "run" else extras[group])]


@pytest.mark.parametrize("lock", LOCKS)
def test_no_lock_names_an_address(lock: str) -> None:
    assert not re.search(r"https?://|file:|index-url|find-links|trusted-host|^-", (ROOT / lock).read_text(encoding="utf-8"), re.MULTILINE)


@pytest.mark.parametrize("lock", LOCKS)
def test_every_pin_is_exact_and_hashed(lock: str) -> None:
    for requirement, hashes in pins(lock):
        assert [specifier.operator for specifier in requirement.specifier] == ["=="], requirement
        assert hashes, requirement
        assert all(re.fullmatch(r"sha256:[0-9a-f]{64}", found) for found in hashes), requirement


@pytest.mark.parametrize("python", PYTHONS)
@pytest.mark.parametrize("lock", LOCKS)
def test_every_dependency_is_pinned_once_within_its_bounds(lock: str, python: str) -> None:
    environment = {
        **default_environment(),
        "python_version": python,
        "python_full_version": f"{python}.1",
        "sys_platform": "linux",
        "extra": "",
    }
    active = [pin for pin, _ in pins(lock) if pin.marker is None or pin.marker.evaluate(environment)]
    names = [canonicalize_name(pin.name) for pin in active]
    assert len(names) == len(set(names))
    chosen = dict(zip(names, active, strict=True))
    for requirement in wanted(LOCKS[lock]):
        version = str(next(iter(chosen[canonicalize_name(requirement.name)].specifier)).version)
        assert requirement.specifier.contains(version), f"{requirement} is locked at {version}"


@pytest.mark.parametrize("lock", ["requirements-run.lock", "requirements-build.lock"])
def test_the_small_locks_are_cut_from_the_large_one(lock: str) -> None:
    whole = {str(pin): hashes for pin, hashes in pins("requirements.lock")}
    assert {str(pin) for pin, _ in pins(lock)} <= set(whole)


def test_the_running_set_holds_no_tool() -> None:
    names = {canonicalize_name(pin.name) for pin, _ in pins("requirements-run.lock")}
    assert not names & {"pytest", "ruff", "mypy", "hatchling", "hypothesis", "openseespy", "uv"}


def test_every_dependency_has_an_upper_bound_or_is_pinned() -> None:
    loose = [
        str(requirement)
        for requirement in wanted(("run",))
        if not any(bound.operator in ("<", "==", "~=") for bound in requirement.specifier)
    ]
    assert loose == []


@pytest.mark.parametrize("file", ["Makefile", "Dockerfile"])
def test_pip_takes_what_stands_in_a_lock_and_looks_for_nothing_else(file: str) -> None:
    """Older pips look for the newest of a package that is asked for with an extra, though another is pinned, and stop at its hash."""
    installs = [line for line in (ROOT / file).read_text(encoding="utf-8").splitlines() if re.search(r"install .*\.lock", line)]
    assert installs
    assert [line for line in installs if not {"--no-deps", "--require-hashes"} <= set(line.split())] == []
