"""How long a check takes over HTTP, and how many are answered, beside a bare echo of the same body: both served by gunicorn with two
workers, asked in turns.

    python tests/bench/serving.py            two hundred rounds for each demo design, then 10 s a turn under load
    python tests/bench/serving.py --rounds 50 --seconds 5

Row 6 is the second table: as many callers as workers, each asking again as soon as it is answered, by wrk where it is installed. Everything
runs on the loopback interface; both servers are started here and stopped here.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import socket
import statistics
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import requests

sys.path.insert(0, str(Path(__file__).resolve().parent))

from rules_speed import documents

ECHO = """
def app(environ, start_response):
    body = environ["wsgi.input"].read(int(environ.get("CONTENT_LENGTH") or 0))
    start_response("200 OK", [("Content-Type", "application/json"), ("Content-Length", str(len(body)))])
    return [body]
"""
WORKERS = "2"
POST = """
wrk.method = "POST"
wrk.headers["Content-Type"] = "application/json"
local file = io.open("%s", "rb")
wrk.body = file:read("*all")
done = function(summary, latency)
  io.write(string.format("told %%d %%f %%f %%f %%d\\n", summary.requests, summary.duration / 1e6, latency:percentile(50) / 1e3,
    latency:percentile(99) / 1e3, summary.errors.status + summary.errors.connect + summary.errors.read + summary.errors.timeout))
end
"""
TURNS = 3


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
        "--max-requests",  # a worker that is replaced closes connections, which is no answer's fault
        "0",
    ]
    quiet = subprocess.DEVNULL
    process = subprocess.Popen([*command, app], env=settings | {"PYTHONPATH": folder}, cwd=folder, stdout=quiet, stderr=quiet)
    try:
        address = f"http://127.0.0.1:{port}"
        for _ in range(1200):
            try:
                requests.get(address + ready, timeout=2)
                break
            except requests.RequestException:
                time.sleep(0.1)
        else:
            raise TimeoutError(f"{app} was not ready in two minutes")
        yield address
    finally:
        process.terminate()
        process.wait(20)


def milliseconds(session: requests.Session, address: str, body: bytes) -> float:
    start = time.perf_counter()
    answer = session.post(address, data=body, headers={"Content-Type": "application/json"}, timeout=60)
    assert answer.status_code == 200, answer.text[:300]
    return 1000.0 * (time.perf_counter() - start)


def under_load(address: str, script: Path, seconds: int) -> tuple[float, float, float]:
    """Answers a second, and milliseconds of the middle answer and of the hundredth slowest; none may fail."""
    run = subprocess.run(
        ["wrk", f"-t{WORKERS}", f"-c{WORKERS}", f"-d{seconds}s", "--timeout", "60s", "-s", str(script), address],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    found = re.search(r"told (\d+) ([\d.]+) ([\d.]+) ([\d.]+) (\d+)", run.stdout)
    assert found is not None, run.stdout
    assert found[5] == "0", run.stdout
    return int(found[1]) / float(found[2]), float(found[3]), float(found[4])


def row_6(checks: str, echo: str, folder: str, seconds: int) -> None:
    """Throughput beside the echo's, in turns."""
    if shutil.which("wrk") is None:
        print("row 6 is not measured: wrk is not installed")
        return
    print(
        f"{'workload':<28}{'checks/s':>10}{'echoes/s':>10}{'share':>9}{'p50':>12}{'p99':>12}{'p99/p50':>9}   {TURNS} turns of {seconds} s"
    )
    for name, body in documents():
        Path(folder, "body.json").write_bytes(body)
        script = Path(folder, "post.lua")
        script.write_text(POST % Path(folder, "body.json"), "utf-8")
        told = [(under_load(checks + "/v1/checks", script, seconds), under_load(echo + "/", script, seconds)) for _ in range(TURNS)]
        rate, bare = (statistics.median(each[which][0] for each in told) for which in (0, 1))
        middle, slow = (statistics.median(each[0][which] for each in told) for which in (1, 2))
        print(f"{name:<28}{rate:>10.1f}{bare:>10.0f}{rate / bare:>9.2%}{middle:>9.1f} ms{slow:>9.1f} ms{slow / middle:>9.2f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=200)
    parser.add_argument("--seconds", type=int, default=10)
    given = parser.parse_args()
    rounds = given.rounds
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
            row_6(checks, echo, folder, given.seconds)


if __name__ == "__main__":
    main()
