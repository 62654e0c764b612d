"""The command line and the service give the same bytes; starting and stopping the service leaves nothing behind."""

import json
import os
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest
import requests
from server_process import answers, within_a_minute

from service.cli import main
from service.cli.gunicorn import running
from service.cli.trouble import Trouble
from service.demo import design_names, read_design


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with running(workers=1) as server:
        yield server


@pytest.mark.parametrize("name", design_names())
def test_here_and_over_http_the_json_is_the_same_bytes(name: str, address: str, tmp_path: Path) -> None:
    (tmp_path / "design.json").write_bytes(read_design(name))
    words = ["check", str(tmp_path / "design.json"), "--format", "json", "--as-of", "2026-11-25", "--output"]
    here = main([*words, str(tmp_path / "here.json")])
    there = main([*words, str(tmp_path / "there.json"), "--server", address])
    assert (tmp_path / "here.json").read_bytes() == (tmp_path / "there.json").read_bytes()
    assert here == there


def test_a_design_written_out_here_and_over_http_is_the_same_bytes(address: str, tmp_path: Path) -> None:
    (tmp_path / "design.json").write_bytes(read_design("by-shape"))
    words = ["expand", str(tmp_path / "design.json"), "--output"]
    assert main([*words, str(tmp_path / "here.json")]) == 0
    assert main([*words, str(tmp_path / "there.json"), "--server", address]) == 0
    assert (tmp_path / "here.json").read_bytes() == (tmp_path / "there.json").read_bytes()


def test_the_bytes_are_those_the_service_sends(address: str, tmp_path: Path) -> None:
    document = {**json.loads(read_design("solid-joist")), "codes": {"as_of": "2026-11-25"}}
    (tmp_path / "design.json").write_text(json.dumps(document), encoding="utf-8")
    main(["check", str(tmp_path / "design.json"), "--format", "json", "--output", str(tmp_path / "here.json")])
    sent = requests.post(f"{address}/v1/checks", json=document, timeout=30)
    assert sent.status_code == 200
    assert (tmp_path / "here.json").read_bytes() == sent.content


@pytest.mark.parametrize("body", [b'{"count": NaN}', b'{"reference": 3}', b"{"])
def test_a_refusal_reads_the_same_here_and_over_http(body: bytes, address: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "design.json").write_bytes(body)
    assert main(["check", str(tmp_path / "design.json")]) == 2
    here = capsys.readouterr().err
    assert main(["check", str(tmp_path / "design.json"), "--server", address]) == 2
    assert capsys.readouterr().err == here


def test_a_server_that_is_something_else_is_no_pass(address: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "design.json").write_bytes(read_design("solid-joist"))
    assert main(["check", str(tmp_path / "design.json"), "--server", f"{address}/elsewhere"]) == 2
    assert "answered 404" in capsys.readouterr().err


def test_two_servers_run_side_by_side_and_only_the_own_one_is_stopped(address: str) -> None:
    with running(workers=1) as second:
        assert second != address
    assert requests.get(f"{address}/readyz", timeout=10).status_code == 200
    with pytest.raises(requests.ConnectionError):
        requests.get(f"{second}/readyz", timeout=2)


def test_a_server_that_cannot_start_is_trouble(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("service.cli.gunicorn.APPLICATION", "service.http.no_such_module:app")
    with pytest.raises(Trouble, match="before it was ready"), running(workers=1):
        pytest.fail("it said it was ready")


def session_of(leader: int) -> set[int]:
    """Processes of one session that still run; a process that only waits to be collected does not count."""
    found = set()
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            state, _parent, _group, session = stat.read_text(encoding="utf-8").rsplit(") ", 1)[1].split()[:4]
        except OSError:
            continue
        if int(session) == leader and state != "Z":
            found.add(int(stat.parent.name))
    return found


def child_of(parent: int) -> int | None:
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text(encoding="utf-8").rsplit(") ", 1)[1].split()
        except OSError:
            continue
        if int(fields[1]) == parent and int(fields[3]) == int(stat.parent.name):
            return int(stat.parent.name)
    return None


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
@pytest.mark.parametrize("processes", [1, 2], ids=["while the server starts", "while it works"])
def test_an_interrupted_demo_leaves_no_server_behind(number: int, processes: int, tmp_path: Path) -> None:
    demo = subprocess.Popen(
        [sys.executable, "-m", "birdsmouth", "demo", "--output", str(tmp_path)], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
    )
    try:
        leader = within_a_minute(lambda: child_of(demo.pid))
        within_a_minute(lambda: len(session_of(leader)) >= processes)
        demo.send_signal(number)
        _, said = demo.communicate(timeout=60)
    finally:
        demo.kill()
    assert demo.returncode == 130
    assert b"birdsmouth: stopped." in said
    assert session_of(leader) == set()


def test_serve_becomes_the_server_and_ends_on_ctrl_c(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    words = [sys.executable, "-m", "birdsmouth", "serve", "--port", str(port), "--workers", "1"]
    with subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True) as server:
        try:
            within_a_minute(lambda: answers(f"http://127.0.0.1:{port}/readyz"))
        finally:
            server.send_signal(signal.SIGINT)
        _, said = server.communicate(timeout=60)
    assert server.returncode == 0
    assert f"starting on http://127.0.0.1:{port}/" in said
    assert "password" not in said


def test_a_port_that_is_taken_is_told_before_anything_is_loaded(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    started: list[str] = []
    monkeypatch.setattr(os, "execv", lambda program, _words: started.append(program))
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert main(["serve", "--port", str(port)]) == 2
    assert f"--port {port}: Address already in use." in capsys.readouterr().err
    assert started == []


@pytest.mark.parametrize(("host", "shown", "warned"), [("0.0.0.0", "0.0.0.0", True), ("::1", "[::1]", False)])
def test_serving_others_is_said_out_loud(
    host: str, shown: str, warned: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    started: list[list[str]] = []

    def become(_program: str, words: list[str]) -> None:
        started.append(words)
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "execv", become)
    monkeypatch.setattr("service.cli.serve._can_listen", lambda _host, _port: None)  # this machine may have no such address
    monkeypatch.setenv("BIRDSMOUTH_TOKENS", "off")
    main(["serve", "--host", host])
    said = capsys.readouterr().err
    assert f"http://{shown}:8000/" in said
    assert ("asks nobody" in said) == warned
    assert f"{shown}:8000" in started[0]


class Elsewhere(BaseHTTPRequestHandler):
    """A server that is no birdsmouth: it answers whatever is asked with the status and body it was given."""

    answer: tuple[int, bytes] = (200, b"")

    def do_POST(self) -> None:
        self.send_response(self.answer[0])
        self.send_header("Content-Length", str(len(self.answer[1])))
        self.end_headers()
        self.wfile.write(self.answer[1])

    def log_message(self, *_words: object) -> None:
        """Nothing to tell."""


@pytest.mark.parametrize(
    ("status", "body", "said"),
    [
        (502, b"<h1>Bad gateway</h1>", "answered 502: no reason given"),
        (500, b'{"title": "The service failed"}', "answered 500: The service failed"),
        (503, b'{"detail": "Full; try again."}', "answered 503: Full; try again."),
        (422, b'{"title": "no errors listed"}', "answered 422: no errors listed"),
        (302, b"", "answered 302: no reason given"),
        (200, b"<h1>Welcome</h1>", "nothing may be concluded"),
        (200, b'{"hello": "there"}', "nothing may be concluded"),
        (200, b"[]", "nothing may be concluded"),
    ],
)
def test_an_answer_that_is_no_report_is_never_a_pass(
    status: int, body: bytes, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "design.json").write_bytes(read_design("solid-joist"))
    monkeypatch.setattr(Elsewhere, "answer", (status, body))
    with HTTPServer(("127.0.0.1", 0), Elsewhere) as server:
        answering = threading.Thread(target=server.handle_request)
        answering.start()
        ended = main(["check", str(tmp_path / "design.json"), "--server", f"http://127.0.0.1:{server.server_port}"])
        answering.join()
    assert ended == 2
    shown = capsys.readouterr()
    assert said in shown.err
    assert shown.out == ""
