"""What the README tells a newcomer to type works, and what it shows is what comes back."""

import argparse
import itertools
import json
import re
import shlex
import subprocess
from pathlib import Path
from typing import Any

import pytest
import requests
from patience import PATIENT

from service.cli import main
from service.cli.command import parser
from service.demo import design_names, read_design

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
MAKEFILE = (ROOT / "Makefile").read_text(encoding="utf-8")


def commands() -> list[str]:
    blocks = re.findall(r"^```console\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    return [line for block in blocks for line in block.splitlines()]


@pytest.fixture
def demo_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A working folder as the demo leaves it."""
    folder = tmp_path / "birdsmouth-demo"
    folder.mkdir()
    for name in design_names():
        (folder / f"{name}.json").write_bytes(read_design(name))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_it_opens_with_the_job_in_one_paragraph() -> None:
    first, second = README.split("\n\n")[:2]
    assert first == "# birdsmouth"
    assert not second.startswith(("#", "-", "|", "```"))
    assert len(second.split()) > 100


@pytest.mark.usefixtures("demo_folder")
@pytest.mark.parametrize("line", [line for line in commands() if re.match(r"birdsmouth (check|packs)", line)])
def test_each_command_runs_and_finds_nothing_wrong(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(shlex.split(line)[1:]) == 0, capsys.readouterr().err


@pytest.mark.parametrize("line", [line for line in commands() if re.match(r"(venv/bin/)?birdsmouth ", line)])
def test_each_command_is_one(line: str) -> None:
    parser().parse_args(shlex.split(line)[1:])


@pytest.mark.parametrize("line", [line for line in commands() if line.startswith("make ")])
def test_each_make_target_exists(line: str) -> None:
    assert re.search(rf"^{line.split()[1]}:", MAKEFILE, re.MULTILINE)


def options(of: argparse.ArgumentParser, path: str = "birdsmouth") -> list[tuple[str, str]]:
    found = [(path, name) for action in of._actions for name in action.option_strings if name.startswith("--") and name != "--help"]
    for action in of._actions:
        if isinstance(action, argparse._SubParsersAction):
            for name, below in action.choices.items():
                found += [(f"{path} {name}", ""), *options(below, f"{path} {name}")]
    return found


@pytest.mark.parametrize(("command", "option"), options(parser()))
def test_every_command_and_option_is_documented(command: str, option: str) -> None:
    assert command in README
    assert option in README


def test_the_finding_shown_is_one_that_the_command_prints(demo_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Line for line, in this order; "…" stands for lines left out."""
    (shown,) = re.findall(r"^```text\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    main(["check", str(demo_folder / "birdsmouth-demo" / "two-reasons.json")])
    printed = iter([line.strip() for line in capsys.readouterr().out.splitlines()])
    assert [line for line in map(str.strip, shown.splitlines()) if line != "…" and line not in printed] == []


def example() -> tuple[list[str], Any]:
    block = next(block for block in re.findall(r"^```console\n(.*?)^```$", README, re.MULTILINE | re.DOTALL) if "curl" in block)
    words = shlex.split(next(line for line in block.splitlines() if line.startswith("curl")))
    answer = re.search(r"^```json\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    assert answer
    return words, json.loads(answer.group(1))


def inside(shown: Any, real: Any, path: str = "") -> list[str]:
    """Where the shortened answer says something the real one does not; "…" stands for what is left out."""
    if isinstance(shown, dict):
        missing = [f"{path}/{name}" for name in shown if name not in real and name != "…"]
        return missing + [line for name in shown if name in real for line in inside(shown[name], real[name], f"{path}/{name}")]
    if isinstance(shown, list):
        kept = [item for item in shown if item != "…"]
        return [f"{path}: {item}" for item in kept if all(inside(item, other, path) for other in real)]
    if isinstance(shown, str) and "…" in shown:
        pattern = ".*".join(map(re.escape, shown.split("…")))
        return [] if re.fullmatch(pattern, str(real)) else [f"{path}: {real}"]
    return [] if shown == real else [f"{path}: {shown} is {real}"]


def test_the_curl_example_gives_the_answer_shown(address: str, demo_folder: Path) -> None:
    words, shown = example()
    url = next(word for word in words if word.startswith("http")).replace("http://127.0.0.1:8000", address)
    name, value = words[words.index("-H") + 1].split(": ")
    body = (demo_folder / words[words.index("--data-binary") + 1].removeprefix("@")).read_bytes()
    answer = requests.post(url, data=body, headers={name: value}, timeout=PATIENT.deadline_s)
    assert answer.status_code == 200
    assert inside(shown, answer.json()) == []


@pytest.mark.parametrize("line", [line for line in commands() if line.startswith("curl")])
def test_every_curl_as_written_is_answered(line: str, address: str, demo_folder: Path) -> None:
    """With the files that the lines before it write."""
    for written in (each for each in commands() if each.startswith("echo ")):
        subprocess.run(["bash", "-c", written], cwd=demo_folder, check=True)
    words = shlex.split(line)
    headers = dict(value.split(": ") for flag, value in itertools.pairwise(words) if flag == "-H")
    body = (demo_folder / words[words.index("--data-binary") + 1].removeprefix("@")).read_bytes()
    answer = requests.post(words[2].replace("http://127.0.0.1:8000", address), data=body, headers=headers, timeout=PATIENT.deadline_s)
    assert (answer.status_code, answer.headers["Content-Type"].split(";")[0]) == (200, headers.get("Accept", "application/json")), (
        answer.text
    )


@pytest.mark.parametrize("line", [line for line in commands() if re.match(r"birdsmouth (compare|bulk|size|expand)", line)])
def test_each_command_that_wants_files_finds_them(line: str, demo_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for written in (each for each in commands() if each.startswith("echo ")):
        subprocess.run(["bash", "-c", written], cwd=demo_folder, check=True)
    for name in ("comparison.json", "job.json", "sizing.json"):
        json.loads((demo_folder / name).read_bytes())
    assert main(shlex.split(line)[1:]) == (1 if "bulk" in line else 0), capsys.readouterr().err


def test_the_comparison_notices_a_difference() -> None:
    real = {"a": 1, "b": [{"c": "long text"}]}
    assert inside({"a": 1, "b": [{"c": "long…"}, "…"]}, real) == []
    assert inside({"a": 2}, real)
    assert inside({"b": [{"c": "short"}]}, real)
    assert inside({"z": 1}, real)


@pytest.mark.parametrize("path", ["/v1/packs", "/openapi.yaml"])
def test_every_path_it_names_answers(path: str, address: str) -> None:
    assert path in README
    assert requests.get(address + path, timeout=PATIENT.deadline_s).status_code == 200


def test_every_file_it_links_to_exists() -> None:
    for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md"):
        for target in re.findall(r"\]\(([^)#]+)\)", (ROOT / name).read_text(encoding="utf-8")):
            assert (ROOT / target).exists(), f"{name}: {target}"


@pytest.mark.parametrize("words", ["licensed engineer", "local building code", "no substitute", "from memory", "bracing"])
def test_the_cautions_are_there(words: str) -> None:
    assert words in README.replace("*", "").replace("\n", " ")
