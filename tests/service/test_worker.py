"""The server as a process: clients that send slowly, that send what is no HTTP, that go away; stops, and workers that die."""

import contextlib
import json
import os
import signal
import socket
import subprocess
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryFile
from typing import IO

import pytest
import requests

from service.cli.gunicorn import command_line
from service.demo import read_design

DESIGN = read_design("solid-joist")
SHARE = float(os.environ.get("PROVE_SHARE", "1"))
"""How long the long proofs take, of what they are meant to."""
HEAD = b"POST /v1/checks HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n"


class Server:
    """A server of its own on a loopback port, with what it wrote."""

    def __init__(self, port: int, process: "subprocess.Popen[bytes]", log: IO[bytes]) -> None:
        self.port, self.process, self.log, self.address = port, process, log, f"http://127.0.0.1:{port}"

    def connect(self) -> socket.socket:
        return socket.create_connection(("127.0.0.1", self.port), timeout=60)

    def check(self) -> requests.Response:
        return requests.post(f"{self.address}/v1/checks", data=DESIGN, headers={"Content-Type": "application/json"}, timeout=60)

    def stop(self, number: int) -> tuple[float, str]:
        began = time.monotonic()
        self.process.send_signal(number)
        self.process.wait(timeout=60)
        taken = time.monotonic() - began
        self.log.seek(0)
        return taken, self.log.read().decode()


@contextmanager
def started(**environment: str) -> Iterator[Server]:
    log = TemporaryFile()  # noqa: SIM115  closed below; a pipe that nobody reads would fill, and the server would wait on it
    with socket.create_server(("127.0.0.1", 0)) as listening:
        words = command_line(f"fd://{listening.fileno()}", workers=1)
        process = subprocess.Popen(
            words, env={**os.environ, **environment}, pass_fds=[listening.fileno()], stdout=log, stderr=subprocess.STDOUT,
        )  # fmt: skip
        server = Server(listening.getsockname()[1], process, log)
    try:
        until = time.monotonic() + 60
        while time.monotonic() < until and process.poll() is None:
            try:
                if requests.get(f"{server.address}/healthz", timeout=5).ok:
                    break
            except requests.RequestException:
                time.sleep(0.1)
        yield server
    finally:
        ended(process)
        log.close()


def ended(process: "subprocess.Popen[bytes]") -> None:
    """End a server of ours: by asking first, since one that is killed cannot tidy up."""
    process.terminate()
    try:
        process.wait(timeout=40)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    with started() as running:
        yield running


def answer_of(client: socket.socket) -> tuple[int, bytes]:
    """Status and body of what comes until the server closes, or the announced length is there."""
    taken = b""
    while piece := client.recv(65536):
        taken += piece
        head, _, body = taken.partition(b"\r\n\r\n")
        length = next((int(line.split(b":")[1]) for line in head.split(b"\r\n") if line.lower().startswith(b"content-length")), None)
        if length is not None and len(body) >= length:
            break
    head, _, body = taken.partition(b"\r\n\r\n")
    return int(head.split()[1]), body


def test_a_hundred_that_send_a_byte_a_second_keep_nobody_out(server: Server) -> None:
    slow = [server.connect() for _ in range(100)]
    try:
        for client in slow:
            client.sendall((HEAD % len(DESIGN))[: 40 + slow.index(client)])
        for round_ in range(3):
            for client in slow:
                client.sendall(b"X"[:1] if round_ else b"\r")
            assert server.check().status_code == 200
            assert requests.get(f"{server.address}/healthz", timeout=10).json() == {"alive": True}
            time.sleep(1)
    finally:
        for client in slow:
            client.close()


def test_a_request_in_pieces_is_answered_as_one_in_one(server: Server) -> None:
    whole = HEAD % len(DESIGN) + DESIGN
    with server.connect() as client:
        for at in range(0, len(whole), 500):
            client.sendall(whole[at : at + 500])
            time.sleep(0.01)
        status, body = answer_of(client)
    assert (status, body) == (200, server.check().content)


def test_requests_one_after_another_without_waiting_are_all_answered(server: Server) -> None:
    with server.connect() as client:
        client.sendall(b"GET /healthz HTTP/1.1\r\nHost: x\r\n\r\n" * 3 + b"GET /hea")
        time.sleep(0.3)
        client.sendall(b"lthz HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
        taken = b""
        while piece := client.recv(65536):
            taken += piece
    assert taken.count(b'{"alive":true}') == 4


def test_chunks_are_taken(server: Server) -> None:
    pieces = (DESIGN[at : at + 1000] for at in range(0, len(DESIGN), 1000))
    answer = requests.post(f"{server.address}/v1/checks", data=pieces, headers={"Content-Type": "application/json"}, timeout=60)
    assert answer.content == server.check().content


def test_who_waits_for_a_word_gets_it(server: Server) -> None:
    with server.connect() as client:
        client.sendall((HEAD % len(DESIGN)).replace(b"\r\n\r\n", b"\r\nExpect: 100-continue\r\n\r\n"))
        assert client.recv(100).startswith(b"HTTP/1.1 100 Continue\r\n\r\n")
        client.sendall(DESIGN)
        assert b"HTTP/1.1 200 OK" in client.recv(65536)


@pytest.mark.parametrize(
    "sent", [b"BREW\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", b"GET / HTTP/1.1\r\nHost x\r\n\r\n", b"\x16\x03\x01\x02\x00\x01\r\n\r\n",
             b"GET /" + b"x" * 70_000, b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: -1\r\n\r\n",
             b"POST / HTTP/1.1\r\nContent-Length: 1\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n"],
)  # fmt: skip
def test_what_is_no_http_is_answered_as_every_error_is(server: Server, sent: bytes) -> None:
    with server.connect() as client:
        client.sendall(sent)
        status, body = answer_of(client)
    assert (status, json.loads(body)["type"]) == (400, "/problems/bad-request")
    assert server.check().status_code == 200


def test_what_a_client_sent_before_it_went_is_nobodys_business(server: Server) -> None:
    for sent in (b"", b"POST /v1/che", HEAD % 100 + b"{"):
        with server.connect() as client:
            client.sendall(sent)
    assert server.check().status_code == 200


def in_flight(server: Server, count: int) -> tuple[list[threading.Thread], list[int]]:
    statuses: list[int] = []
    threads = [threading.Thread(target=lambda: statuses.append(server.check().status_code)) for _ in range(count)]
    for thread in threads:
        thread.start()
    time.sleep(0.3)
    return threads, statuses


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_stop_finishes_what_is_being_answered_and_waits_for_no_dead_client(number: int) -> None:
    with started() as server:
        idle, half = server.connect(), server.connect()
        half.sendall(HEAD % 1000 + b"{")
        threads, statuses = in_flight(server, 4)
        taken, said = server.stop(number)
        for thread in threads:
            thread.join(60)
        idle.close()
        half.close()
    assert statuses == [200] * 4
    assert taken < 25
    assert server.process.returncode == 0
    assert "Traceback" not in said


def test_a_worker_that_is_killed_gives_no_half_answer_and_is_replaced() -> None:
    with started() as server:
        children = subprocess.run(["ps", "-o", "pid=", "--ppid", str(server.process.pid)], capture_output=True, text=True, check=True)
        outcomes: list[str] = []
        good = server.check().content

        def ask() -> None:
            try:
                outcomes.append("whole" if server.check().content == good else "wrong")
            except requests.RequestException:
                outcomes.append("no answer")

        threads = [threading.Thread(target=ask) for _ in range(4)]
        for thread in threads:
            thread.start()
        os.kill(int(children.stdout.split()[0]), signal.SIGKILL)
        for thread in threads:
            thread.join(60)
        until = time.monotonic() + 30
        while time.monotonic() < until:
            try:
                again = server.check()
                break
            except requests.RequestException:
                time.sleep(0.2)
    assert "wrong" not in outcomes
    assert again.content == good


# Long proofs: `make prove`


def statistics_of(seconds: list[float]) -> dict[str, float]:
    ordered = sorted(seconds)
    return {f"p{share}": round(1000 * ordered[min(len(ordered) - 1, len(ordered) * share // 100)], 1) for share in (50, 90, 99)}


def hammer(server: Server, clients: int, seconds: float, good: bytes) -> Counter[str]:
    """Ask from so many threads for so long; counts of statuses, of wrong answers and of none; times of the good ones in ms."""
    told: Counter[str] = Counter()
    times: list[float] = []
    until = time.monotonic() + seconds

    def ask() -> None:
        with requests.Session() as session:
            while time.monotonic() < until:
                began = time.monotonic()
                try:
                    answer = session.post(
                        f"{server.address}/v1/checks", data=DESIGN, headers={"Content-Type": "application/json"}, timeout=60
                    )
                except requests.RequestException:
                    told["no answer"] += 1
                    time.sleep(0.05)
                    continue
                told[str(answer.status_code)] += 1
                if answer.status_code == 200:
                    times.append(time.monotonic() - began)
                    told["wrong"] += answer.content != good
                elif answer.status_code == 503:
                    told["no retry-after"] += "Retry-After" not in answer.headers
                    time.sleep(0.02)

    threads = [threading.Thread(target=ask) for _ in range(clients)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(seconds + 90)
    print(f"{clients} clients, {seconds:.0f} s: {dict(told)}, accepted {statistics_of(times)} ms", flush=True)
    told["p99 ms"] = int(statistics_of(times)["p99"]) if times else 0
    return told


def workers_of(server: Server) -> list[int]:
    found = subprocess.run(["ps", "-o", "pid=", "--ppid", str(server.process.pid)], capture_output=True, text=True, check=True)
    return [int(word) for word in found.stdout.split()]


def resident_kib(pid: int) -> int:
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS")))


@pytest.mark.prove
def test_more_than_it_can_do_is_sent_away_and_the_rest_is_answered_soon() -> None:
    with started() as server:
        good = server.check().content
        calm = hammer(server, 1, 10 * SHARE, good)
        full = hammer(server, 48, 30 * SHARE, good)
    assert set(full) <= {"200", "503", "wrong", "no retry-after", "p99 ms"}
    assert (full["wrong"], full["no retry-after"]) == (0, 0)
    assert full["503"] > 0
    assert calm["p99 ms"] < full["p99 ms"] < 5_000, (
        "a line of nine, and as many threads that answer 503 beside it: a quarter of the deadline"
    )


@pytest.mark.prove
def test_workers_that_are_killed_under_load_give_no_wrong_and_no_half_answer() -> None:
    with started() as server:
        good = server.check().content
        killed: list[int] = []
        over = threading.Event()

        def kill() -> None:
            while not over.wait(2):
                for pid in workers_of(server):
                    os.kill(pid, signal.SIGKILL)
                    killed.append(pid)

        killer = threading.Thread(target=kill)
        killer.start()
        told = hammer(server, 6, 40 * SHARE, good)
        over.set()
        killer.join()
        until = time.monotonic() + 30
        while time.monotonic() < until and not answered(server):
            time.sleep(0.2)
        assert server.check().content == good
    print(f"workers killed: {len(killed)}")
    assert len(killed) > 10 * SHARE
    assert told["wrong"] == 0
    assert told["200"] > 0
    assert set(told) <= {"200", "503", "wrong", "no answer", "no retry-after", "p99 ms"}


def answered(server: Server) -> bool:
    try:
        return server.check().status_code == 200
    except requests.RequestException:
        return False


@pytest.mark.prove
def test_five_hundred_slow_clients_keep_nobody_out() -> None:
    with started() as server:
        good = server.check().content
        slow = [server.connect() for _ in range(500)]
        over = threading.Event()

        def drip() -> None:
            sent = HEAD % len(DESIGN) + DESIGN
            for at in range(len(sent)):
                for client in slow:
                    with contextlib.suppress(OSError):
                        client.send(sent[at : at + 1])
                if over.wait(1):
                    return

        dripping = threading.Thread(target=drip)
        dripping.start()
        told = hammer(server, 2, 30 * SHARE, good)
        over.set()
        dripping.join()
        for client in slow:
            client.close()
    assert set(told) <= {"200", "wrong", "p99 ms"}
    assert told["wrong"] == 0


@pytest.mark.prove
def test_ten_minutes_leave_memory_as_it_was() -> None:
    with started(GUNICORN_CMD_ARGS="--max-requests 0 --max-requests-jitter 0") as server:  # else the worker measured is replaced
        good = server.check().content
        hammer(server, 3, 60 * SHARE, good)
        before = {pid: resident_kib(pid) for pid in workers_of(server)}
        told = hammer(server, 3, 540 * SHARE, good)
        after = {pid: resident_kib(pid) for pid in workers_of(server)}
        print(f"resident KiB before {before}, after {after}", flush=True)  # at once: what follows may fail where its files were swept away
    assert told["wrong"] == 0
    assert set(before) == set(after)
    assert all(after[pid] < 1.05 * before[pid] + 2048 for pid in before)
