"""The wheel holds all it needs, and works in a new environment outside the checkout."""

import json
import re
import signal
import socket
import subprocess
import zipfile
from pathlib import Path

import pytest
from server_process import answers, within_a_minute

from service.demo import design_names, read_design


@pytest.fixture(scope="module")
def contents(wheel: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(wheel) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def run(program: Path, *words: str, folder: Path, status: int = 0) -> str:
    ended = subprocess.run([program, *words], cwd=folder, capture_output=True, text=True, check=False, env={"PATH": "/usr/bin:/bin"})
    assert ended.returncode == status, ended.stderr
    return ended.stdout


def test_it_holds_the_packages_their_data_and_nothing_else(contents: dict[str, bytes]) -> None:
    tops = {name.split("/")[0] for name in contents}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"birdsmouth", "service", "rules", "solver"}
    assert {f"service/demo/designs/{name}.json" for name in design_names()} <= set(contents)
    assert "birdsmouth/py.typed" in contents
    assert [name for name in contents if name.startswith("rules/packs/") and name.endswith("pack.yaml")]


def test_every_data_file_of_the_checkout_is_in_it(contents: dict[str, bytes]) -> None:
    root = Path(__file__).parents[2]
    listed = subprocess.run(
        ["git", "ls-files", "service", "rules", "solver", "birdsmouth"], cwd=root, capture_output=True, text=True, check=True
    )
    assert set(listed.stdout.splitlines()) - set(contents) == set()


def test_its_metadata_names_the_command_the_packs_and_the_licence(contents: dict[str, bytes]) -> None:
    entry_points = next(text for name, text in contents.items() if name.endswith("entry_points.txt")).decode()
    assert "birdsmouth = birdsmouth.__main__:main" in entry_points
    assert re.search(r"\[birdsmouth\]\n\w+ = rules\.packs", entry_points)
    licence = next(text for name, text in contents.items() if name.endswith("licenses/LICENSE")).decode()
    assert "Apache License" in licence


def test_the_installed_command_knows_its_version(installed: Path, tmp_path: Path) -> None:
    assert re.fullmatch(r"birdsmouth \d+\.\d+\.\d+\n", run(installed / "birdsmouth", "--version", folder=tmp_path))


def test_the_installed_package_is_not_the_checkout(installed: Path, tmp_path: Path) -> None:
    place = run(installed / "python", "-c", "import rules, service, solver, birdsmouth; print(service.__file__)", folder=tmp_path).strip()
    assert Path(place).is_relative_to(installed.parent)


def test_the_installed_command_checks_a_file(installed: Path, tmp_path: Path) -> None:
    (tmp_path / "joist.json").write_bytes(read_design("solid-joist"))
    report = json.loads(run(installed / "birdsmouth", "check", "joist.json", "--format", "json", folder=tmp_path))
    assert report["format"] == "birdsmouth-report-1"


def test_the_installed_demo_shows_its_table_and_keeps_its_reports(installed: Path, tmp_path: Path) -> None:
    shown = run(installed / "birdsmouth", "demo", folder=tmp_path)
    assert all(re.search(rf"^ {name} .*(pass|open|review|fail)", shown, re.MULTILINE) for name in design_names())
    for name in design_names():
        report = json.loads((tmp_path / "birdsmouth-demo" / f"{name}.report.json").read_bytes())
        assert report["format"] == "birdsmouth-report-1"


def test_the_installed_service_answers_until_it_is_interrupted(installed: Path, tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    command = [installed / "birdsmouth", "serve", "--port", str(port), "--workers", "1"]
    with subprocess.Popen(
        command, cwd=tmp_path, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env={"PATH": "/usr/bin:/bin"}
    ) as server:
        try:
            within_a_minute(lambda: answers(f"http://127.0.0.1:{port}/readyz"))
        finally:
            server.send_signal(signal.SIGINT)
        assert server.wait(60) == 0
