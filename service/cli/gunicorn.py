"""Starting and stopping the server as a process of its own."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

import requests

from service.cli.trouble import Trouble

APPLICATION = "service.http.wsgi:app"
READY_WITHIN_S, STOP_WITHIN_S, ASK_EVERY_S, ANSWER_WITHIN_S = 60.0, 10.0, 0.05, 1.0
ENDINGS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)


def command_line(bind: str, *, workers: int | None = None) -> list[str]:
    """The words that start the server, bound to an address or to an inherited socket ("fd://3")."""
    words = [sys.executable, "-m", "gunicorn", "--config", "python:service.serving", "--bind", bind]
    words += ["--workers", str(workers)] if workers else []
    return [*words, APPLICATION]


@contextmanager
def running(*, workers: int | None = None) -> Iterator[str]:
    """A server on a free loopback port for as long as the block runs; gives its address.

    The socket is bound here and handed down, so nobody can take the port in between. Only the process started here is stopped,
    whatever ends the block: its end, an error, Ctrl-C, or a request to terminate.
    """
    with _interruptions() as arm, socket.create_server(("127.0.0.1", 0)) as listening:
        descriptor = listening.fileno()
        words, quietly = command_line(f"fd://{descriptor}", workers=workers), {**os.environ, "BIRDSMOUTH_LOG_LEVEL": "error"}
        process = subprocess.Popen(words, env=quietly, pass_fds=[descriptor], stdin=subprocess.DEVNULL, start_new_session=True)
        try:
            arm()
            address = f"http://127.0.0.1:{listening.getsockname()[1]}"
            _await(address, process)
            yield address
        finally:
            _stop(process)


@contextmanager
def _interruptions() -> Iterator[_Arm]:
    """While the block runs, an ending signal raises KeyboardInterrupt, but not before `arm()` is called: one that comes while
    the process is being started is kept until there is a process to stop."""
    waiting = _Arm()
    before = {number: signal.signal(number, waiting.receive) for number in ENDINGS}
    try:
        yield waiting
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


class _Arm:
    """Keeps an early signal; raises at once when armed."""

    def __init__(self) -> None:
        self._armed = self._received = False

    def __call__(self) -> None:
        self._armed = True
        if self._received:
            raise KeyboardInterrupt

    def receive(self, _number: int, _frame: FrameType | None) -> None:
        """Signal handler."""
        first, self._received = not self._received, True
        if self._armed and first:
            raise KeyboardInterrupt


def _await(address: str, process: subprocess.Popen[bytes]) -> None:
    deadline = time.monotonic() + READY_WITHIN_S
    with requests.Session() as session:
        session.trust_env = False
        while time.monotonic() < deadline:
            if process.poll() is not None:
                raise Trouble(f"the server ended with status {process.returncode} before it was ready; its own words stand above.")
            if _ready(session, address):
                return
            time.sleep(ASK_EVERY_S)
    raise Trouble(f"the server was not ready within {READY_WITHIN_S:.0f} seconds.")


def _ready(session: requests.Session, address: str) -> bool:
    try:
        return session.get(f"{address}/readyz", timeout=ANSWER_WITHIN_S).status_code == 200
    except requests.RequestException:
        return False


def _stop(process: subprocess.Popen[bytes]) -> None:
    process.terminate()
    try:
        process.wait(STOP_WITHIN_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
