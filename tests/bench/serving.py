"""How long a check takes over HTTP, beside a bare echo of the same body: both served by gunicorn with two workers, asked in turns.

    python tests/bench/serving.py            two hundred rounds for each demo design
    python tests/bench/serving.py --rounds 50

Everything runs on the loopback interface; both servers are started here and stopped here.
"""

from __future__ import annotations

import argparse
import os
import socket
import statistics
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import requests

ECHO = """
def app(environ, start_response):
    body = environ["wsgi.input"].read(int(environ.get("CONTENT_LENGTH") or 0))
    start_response("200 OK", [("Content-Type", "application/json"), ("Content-Length", str(len(body)))])
    return [body]
"""
WORKERS = "2"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def served(app: str, folder: str, ready: str):
    """A gunicorn of two workers; yields its address, stops just this process."""
    port = free_port()
    settings = os.environ | {"BIRDSMOUTH_BIND": f"127.0.0.1:{port}", "BIRDSMOUTH_WORKERS": WORKERS, "BIRDSMOUTH_ACCESS_LOG": ""}
    command = [
        sys.executable,
        "-m",
        "gunicorn",
        "--config",
        "python:service.serving",
        "--access-logfile",
        "/dev/null",
        "--log-level",
        "error",
    ]
    process = subprocess.Popen([*command, app], env=settings | {"PYTHONPATH": folder}, cwd=folder)
    try:
        address = f"http://127.0.0.1:{port}"
        for _ in range(200):
            try:
                requests.get(address + ready, timeout=2)
                break
            except requests.ConnectionError:
                time.sleep(0.1)
        yield address
    finally:
        process.terminate()
        process.wait(20)


def milliseconds(session: requests.Session, address: str, body: bytes) -> float:
    start = time.perf_counter()
    answer = session.post(address, data=body, headers={"Content-Type": "application/json"}, timeout=60)
    assert answer.status_code == 200, answer.text[:300]
    return 1000.0 * (time.perf_counter() - start)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=200)
    rounds = parser.parse_args().rounds
    from service.demo import design_names, read_design

    with TemporaryDirectory() as folder:
        Path(folder, "bare_echo.py").write_text(ECHO, "utf-8")
        with served("service.http.wsgi:app", folder, "/readyz") as checks, served("bare_echo:app", folder, "/") as echo:
            session = requests.Session()
            print(f"{'design':<16}{'body':>9}{'check p50':>12}{'check p99':>12}{'echo p50':>11}{'ratio':>8}   {rounds} rounds, in turns")
            for name in design_names():
                body = read_design(name)
                times: dict[str, list[float]] = {"check": [], "echo": []}
                for round_ in range(rounds + 5):
                    for what, address in (("check", checks + "/v1/checks"), ("echo", echo + "/")):
                        taken = milliseconds(session, address, body)
                        if round_ >= 5:
                            times[what].append(taken)
                check, bare = sorted(times["check"]), statistics.median(times["echo"])
                middle, last = statistics.median(check), check[int(0.99 * (len(check) - 1))]
                print(f"{name:<16}{len(body):>7} B{middle:>9.2f} ms{last:>9.2f} ms{bare:>8.2f} ms{middle / bare:>8.1f}")


if __name__ == "__main__":
    main()
