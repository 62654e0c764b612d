"""The server as a process of its own, on a loopback port, with what it wrote."""

import os
import socket
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from tempfile import TemporaryFile
from typing import IO, TypeVar

import requests

from service.cli.gunicorn import command_line
from service.demo import read_design

Seen = TypeVar("Seen")
DESIGN = read_design("solid-joist")
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
        """Seconds until it had ended, and all it wrote."""
        began = time.monotonic()
        self.process.send_signal(number)
        self.process.wait(timeout=60)
        taken = time.monotonic() - began
        self.log.seek(0)
        return taken, self.log.read().decode()


@contextmanager
def started(**environment: str) -> Iterator[Server]:
    """One that answers, for as long as the block runs. What it writes goes to a file: it would wait on a pipe that nobody reads."""
    with TemporaryFile() as log:
        with socket.create_server(("127.0.0.1", 0)) as listening:
            process = subprocess.Popen(
                command_line(f"fd://{listening.fileno()}", workers=1), env={**os.environ, **environment},
                pass_fds=[listening.fileno()], stdout=log, stderr=subprocess.STDOUT,
            )  # fmt: skip
            server = Server(listening.getsockname()[1], process, log)
        try:
            within_a_minute(lambda: answers(f"{server.address}/healthz"))
            yield server
        finally:
            ended(process)


def within_a_minute(look: Callable[[], Seen | None]) -> Seen:
    """Look again and again until there is something to see, and give it."""
    give_up = time.monotonic() + 60
    while not (seen := look()):
        assert time.monotonic() < give_up, "it did not come within a minute"
        time.sleep(0.01)
    return seen


def answers(address: str) -> bool:
    """Whether a page is there just now."""
    try:
        return requests.get(address, timeout=5).status_code == 200
    except requests.RequestException:
        return False


def ended(process: "subprocess.Popen[bytes]") -> None:
    """End a server of ours: by asking first, since one that is killed cannot tidy up."""
    process.terminate()
    try:
        process.wait(timeout=40)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def workers_of(server: Server) -> list[int]:
    """Process numbers of its workers."""
    found = subprocess.run(["ps", "-o", "pid=", "--ppid", str(server.process.pid)], capture_output=True, text=True, check=True)
    return [int(word) for word in found.stdout.split()]


def checks(server: Server) -> bool:
    """Whether a design is checked just now."""
    try:
        return server.check().status_code == 200
    except requests.RequestException:
        return False
