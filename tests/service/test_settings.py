"""What an operator may set, and how the process is run."""

import ast
import os
import re
import runpy
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from service import serving
from service.cli.gunicorn import command_line
from service.http.threads import TooManyThreads, assert_one_thread
from service.http.worker import IN_WITHIN_S
from service.limits import LIMITS
from service.settings import NAMES, Settings, SettingsRefused, misspelt, settings_from


def test_without_a_word_the_settings_are_as_published() -> None:
    assert settings_from({}) == Settings()
    assert settings_from({"BIRDSMOUTH_MAX_BODY_BYTES": " ", "OTHER": "x"}) == Settings()
    assert Settings().limits() == LIMITS


def test_what_is_set_is_taken(tmp_path: Path) -> None:
    environment = {
        "BIRDSMOUTH_MAX_BODY_BYTES": "4096", "BIRDSMOUTH_DEADLINE_S": "5", "BIRDSMOUTH_WAITING": "0", "BIRDSMOUTH_PACKS": str(tmp_path),
    }  # fmt: skip
    assert settings_from(environment) == Settings(4096, 5.0, 0, tmp_path)


def test_every_setting_that_makes_no_sense_is_told(tmp_path: Path) -> None:
    environment = {
        "BIRDSMOUTH_MAX_BODY_BYTES": "2MiB", "BIRDSMOUTH_DEADLINE_S": "0", "BIRDSMOUTH_WAITING": "-1", "BIRDSMOUTH_WORKERS": "two",
        "BIRDSMOUTH_LOG_LEVEL": "loud", "BIRDSMOUTH_PACKS": str(tmp_path / "x"),
    }  # fmt: skip
    with pytest.raises(SettingsRefused) as refusal:
        settings_from(environment)
    assert [fault.split()[0] for fault in refusal.value.faults] == list(environment)


@pytest.mark.parametrize("written", ["1e3", "٣٤٥", "1" * 30, "1023", "0x400"])
def test_a_number_is_written_in_plain_digits_within_its_range(written: str) -> None:
    with pytest.raises(SettingsRefused, match="whole number from 1024"):
        settings_from({"BIRDSMOUTH_MAX_BODY_BYTES": written})


def test_the_server_configuration_imports_nothing_but_os() -> None:
    for module in ("serving", "__init__"):
        tree = ast.parse(Path(serving.__file__).with_name(f"{module}.py").read_text(encoding="utf-8"))
        imported = [node for node in tree.body if isinstance(node, ast.Import | ast.ImportFrom)]
        assert [ast.unparse(node) for node in imported] == ["import os"]


def test_the_server_runs_as_it_should() -> None:
    assert serving.worker_class == "service.http.worker.Worker"
    assert serving.threads > Settings().waiting
    assert IN_WITHIN_S + Settings().deadline_s < serving.timeout
    assert serving.preload_app
    assert serving.control_socket_disable
    assert serving.max_requests > serving.max_requests_jitter > 0
    assert serving.timeout > Settings().deadline_s
    assert serving.bind.startswith("127.0.0.1")
    read = (serving.limit_request_line, serving.limit_request_fields, serving.limit_request_field_size)
    assert read == (LIMITS.request_line_bytes, LIMITS.header_lines, LIMITS.header_line_bytes)


def gunicorn(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "gunicorn", "--check-config", "--config", "python:service.serving", *words]
    path = ":".join(filter(None, sys.path))
    return subprocess.run(
        command, env={"PATH": "/usr/bin:/bin", "PYTHONPATH": path, **environment}, capture_output=True, text=True, check=False
    )


def test_the_server_takes_the_configuration_and_the_application() -> None:
    checked = gunicorn("service.http.wsgi:app")
    assert (checked.returncode, checked.stderr) == (0, "")


def test_a_server_that_cannot_start_says_why_without_a_stack() -> None:
    checked = gunicorn("service.http.wsgi:app", BIRDSMOUTH_WAITING="many", BIRDSMOUTH_WORKERS="-3", BIRDSMOUTH_LOG_LEVEL="loud")
    assert checked.returncode == 2
    assert "birdsmouth cannot start: BIRDSMOUTH_WAITING is “many”" in checked.stderr
    assert "BIRDSMOUTH_WORKERS is “-3”; it takes a whole number from 1 to 64" in checked.stderr
    assert "BIRDSMOUTH_LOG_LEVEL is “loud”; it takes info, warning, error" in checked.stderr
    assert "Traceback" not in checked.stderr


def test_a_server_that_has_no_place_for_its_figures_says_so_without_a_stack(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.touch()
    with socket.create_server(("127.0.0.1", 0)) as listening:
        words = [*command_line(f"fd://{listening.fileno()}", workers=1)]
        environment = {
            "PATH": "/usr/bin:/bin",
            "PYTHONPATH": ":".join(filter(None, sys.path)),
            "PROMETHEUS_MULTIPROC_DIR": str(blocked / "x"),
        }
        started = subprocess.run(
            words, env=environment, pass_fds=[listening.fileno()], capture_output=True, text=True, check=False, timeout=120
        )
    assert started.returncode == 2
    assert f"birdsmouth cannot start: figures are kept in files, and {blocked / 'x'}: Not a directory" in started.stderr
    assert "Traceback" not in started.stderr


def test_a_temporary_folder_that_is_not_there_stops_nobody(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path / "gone"))
    monkeypatch.setattr(os, "access", lambda place, _mode: place == "/tmp")
    assert runpy.run_path(serving.__file__)["_place"] == "/tmp"


def test_a_setting_that_is_nearly_one_is_told_and_those_of_others_are_not() -> None:
    assert misspelt({"BIRDSMOUTH_DEADLINE": "5", "BIRDSMOUTH_ORIGIN": "x"}) == {
        "BIRDSMOUTH_DEADLINE": "BIRDSMOUTH_DEADLINE_S",
        "BIRDSMOUTH_ORIGIN": "BIRDSMOUTH_ORIGINS",
    }
    assert misspelt(dict.fromkeys((*NAMES, "BIRDSMOUTH_SERVICE_HOST", "BIRDSMOUTH_PORT_8000_TCP", "OTHER"), "")) == {}


def test_every_setting_that_is_read_is_known() -> None:
    sources = Path(serving.__file__).parent.rglob("*.py")
    assert {name for source in sources for name in re.findall(r'"(BIRDSMOUTH_[A-Z_]+)"', source.read_text(encoding="utf-8"))} == set(NAMES)


def test_several_threads_are_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    pools = [{"internal_api": "openblas", "num_threads": 1}, {"internal_api": "openmp", "num_threads": 1}]
    monkeypatch.setattr("service.http.threads.threadpool_info", lambda: pools)
    assert_one_thread()
    pools[0]["num_threads"] = 2
    with pytest.raises(TooManyThreads, match="openblas: 2"):
        assert_one_thread()
