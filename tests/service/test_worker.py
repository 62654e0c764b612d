"""The server as a process: clients that send slowly, that send what is no HTTP, that go away; stops, and workers that die."""

import json
import os
import signal
import socket
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import requests
from server_process import DESIGN, HEAD, Server, checks, started, within_a_minute, workers_of

from service.tokens import digest_of


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


CHUNKS = b"POST /v1/checks HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n"


@pytest.mark.parametrize(
    "sent", [b"BREW\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", b"GET / HTTP/1.1\r\nHost x\r\n\r\n", b"\x16\x03\x01\x02\x00\x01\r\n\r\n",
             b"\x16\x03\x01\x02\x00\x01", b"GET /healthz HTTP/1.1\nHost: x\n\n", b"GET /healthz HTTP/1.1\r\n\r\n",
             b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: -1\r\n\r\n", CHUNKS + b"zz\r\n{}\r\n0\r\n\r\n", CHUNKS + b"-2\r\n{}\r\n0\r\n\r\n",
             b"POST / HTTP/1.1\r\nContent-Length: 1\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n"],
)  # fmt: skip
def test_what_is_no_http_is_answered_as_every_error_is(server: Server, sent: bytes) -> None:
    with server.connect() as client:
        client.sendall(sent)
        status, body = answer_of(client)
    assert (status, json.loads(body)["type"]) == (400, "/problems/bad-request")
    assert server.check().status_code == 200


@pytest.mark.parametrize(
    ("sent", "status", "code"),
    [
        (b"GET /" + b"x" * 5_000 + b" HTTP/1.1\r\nHost: x\r\n\r\n", 414, "address-too-long"),
        (b"GET /" + b"x" * 70_000, 414, "address-too-long"),
        (b"GET / HTTP/1.1\r\nHost: x\r\nCookie: " + b"x" * 9_000 + b"\r\n\r\n", 431, "head-too-large"),
        (b"GET / HTTP/1.1\r\nHost: x\r\n" + b"A: b\r\n" * 60 + b"\r\n", 431, "head-too-large"),
    ],
)
def test_what_is_too_long_is_called_so(server: Server, sent: bytes, status: int, code: str) -> None:
    with server.connect() as client:
        client.sendall(sent)
        told, body = answer_of(client)
    assert (told, json.loads(body)["type"]) == (status, f"/problems/{code}")


def test_an_answer_no_application_has_made_is_counted_and_has_the_headers_of_the_others(server: Server) -> None:
    def counted() -> float:
        lines = requests.get(f"{server.address}/metrics", timeout=60).text.splitlines()
        return sum(float(line.split()[-1]) for line in lines if line.startswith('birdsmouth_problems_total{code="bad-request"}'))

    before = counted()
    with server.connect() as client:
        client.sendall(b"\x16\x03\x01")
        head = client.recv(65536).partition(b"\r\n\r\n")[0].decode()
    for name in ("X-Request-Id", "X-Content-Type-Options", "Content-Security-Policy", "Referrer-Policy"):
        assert f"\r\n{name}: " in head
    assert counted() == before + 1


def test_nobody_is_told_to_send_what_will_be_refused(server: Server) -> None:
    with server.connect() as client:
        client.sendall((HEAD % 99_999_999).replace(b"\r\n\r\n", b"\r\nExpect: 100-continue\r\n\r\n"))
        assert client.recv(65536).startswith(b"HTTP/1.1 413 ")


@pytest.mark.parametrize("name", ["SCRIPT_NAME", "PATH_INFO", "Script-Name"])
def test_no_header_gives_a_request_another_path(server: Server, name: str) -> None:
    """A gateway that keeps /metrics to itself lets /elsewhere/metrics through."""
    assert requests.get(f"{server.address}/elsewhere/metrics", headers={name: "/elsewhere"}, timeout=60).status_code in (400, 404)


def test_what_a_client_sent_before_it_went_is_nobodys_business(server: Server) -> None:
    for sent in (b"", b"POST /v1/che", HEAD % 100 + b"{"):
        with server.connect() as client:
            client.sendall(sent)
    assert server.check().status_code == 200


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_stop_finishes_what_is_being_answered_and_waits_for_no_dead_client(number: int) -> None:
    """The first line of a batch has come, and the other joists are still to be checked."""
    sizes = b"".join(DESIGN.replace(b"\n", b" ").replace(b'"h_mm": 220', b'"h_mm": %d' % (200 + size)) + b"\n" for size in range(20))
    with started() as server, server.connect(), server.connect() as half, ThreadPoolExecutor(1) as reading:
        half.sendall(HEAD % 1000 + b"{")
        headers = {"Content-Type": "application/x-ndjson"}
        with requests.post(f"{server.address}/v1/checks/batch", data=sizes, headers=headers, stream=True, timeout=60) as answer:
            lines = answer.iter_lines()
            first = next(lines)
            rest = reading.submit(list, lines)
            taken, said = server.stop(number)
            told = [json.loads(line) for line in (first, *rest.result())]
    assert [each["status"] for each in told[:-1]] == [200] * 20
    assert told[-1] == {"lines": 20, "failed": 0}
    assert taken < 25
    assert server.process.returncode == 0
    assert "Traceback" not in said


def test_a_token_that_is_taken_back_is_known_no_more_after_a_reload(tmp_path: Path) -> None:
    """And a file that makes no sense lets nobody in that was out, and nobody out that was in."""
    file, kept, gone = tmp_path / "tokens", f"mill {digest_of('kept')}\n", f"press {digest_of('gone')}\n"
    file.write_text(kept + gone, encoding="utf-8")
    with started(BIRDSMOUTH_TOKENS=str(file)) as server:

        def status(token: str) -> int:
            return requests.get(f"{server.address}/v1/packs", headers={"Authorization": f"Bearer {token}"}, timeout=60).status_code

        assert (status("kept"), status("gone")) == (200, 200)
        file.write_text(kept, encoding="utf-8")
        server.process.send_signal(signal.SIGHUP)
        within_a_minute(lambda: status("gone") == 401)
        assert status("kept") == 200
        file.write_text("nonsense", encoding="utf-8")
        server.process.send_signal(signal.SIGHUP)
        within_a_minute(lambda: b"Nothing was read anew" in os.pread(server.log.fileno(), 1_000_000, 0))
        assert (status("kept"), status("gone")) == (200, 401)


def test_a_worker_that_is_killed_gives_no_half_answer_and_is_replaced() -> None:
    with started() as server:
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
        os.kill(workers_of(server)[0], signal.SIGKILL)
        for thread in threads:
            thread.join(60)
        within_a_minute(lambda: checks(server))
        assert server.check().content == good
    assert "wrong" not in outcomes
