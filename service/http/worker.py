"""gunicorn's worker of threads, with two changes: a request is taken in whole before a thread sees it, and a stop never hangs.

Left to themselves the threads read from the sockets, so that as many clients as there are threads, sending a byte a second, keep
everybody else out. Here the loop that waits for sockets gathers what comes, and a client costs no more than a place in memory. One
that takes its answer slowly is given up when nothing moves for ten seconds. Encryption is the gateway's: what is read here is plain.

A stop finishes what is being answered. Python would then wait for threads that still hang on a dead client's socket, the whole grace
of the server; this ends them.
"""

from __future__ import annotations

import os
import selectors
import signal
import socket
import struct
import time
from functools import partial
from typing import Any

from gunicorn.http.errors import ParseException
from gunicorn.workers.gthread import TConn, ThreadWorker

from service.http.arriving import Arriving
from service.http.refusing import failure
from service.limits import LIMITS
from service.problems import KINDS, MEDIA_TYPE, Problem

IN_WITHIN_S = 20.0
STALLED_S = 10
QUICK_STOP_S = 5
HELD_BYTES = 128 * 1024 * 1024
_PIECE = 256 * 1024
_ANSWER_BUFFER = 1024 * 1024
_STALLED = struct.pack("ll", STALLED_S, 0)
_WORDS = {400: b"Bad Request", 408: b"Request Timeout", 500: b"Internal Server Error", 503: b"Service Unavailable"}


class Worker(ThreadWorker):  # type: ignore[misc]  # gunicorn ships no types
    """A process that answers. arriving: requests on their way in, with the moment by which each has to be there."""

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self.arriving: dict[Any, tuple[Arriving, float]] = {}

    def init_signals(self) -> None:
        """As gunicorn does, but Ctrl-C, which a terminal sends to every process, is left to the one that starts and stops workers."""
        super().init_signals()
        signal.signal(signal.SIGINT, signal.SIG_IGN)

    def handle_exit(self, sig: int, frame: Any) -> None:
        """A stop waits for no request that is long in coming."""
        until = time.monotonic() + QUICK_STOP_S
        self.arriving = {conn: (arriving, min(until, before)) for conn, (arriving, before) in self.arriving.items()}
        super().handle_exit(sig, frame)

    def handle_quit(self, sig: int, frame: Any) -> None:
        """A quick stop is a stop with little grace: what is being answered is finished all the same."""
        self.cfg.set("graceful_timeout", QUICK_STOP_S)
        self.handle_exit(sig, frame)

    def run(self) -> None:
        """Answer until told to stop, and end although a thread may still hang on somebody's socket."""
        super().run()
        if self.nr_conns > 0:
            self.log.warning("Stopped with %d connections open", self.nr_conns)
            os._exit(0)

    def accept(self, listener: socket.socket) -> None:
        """Take a new connection and wait for its first request."""
        try:
            client, address = listener.accept()
        except (BlockingIOError, ConnectionAbortedError):
            return
        for option, value in ((socket.SO_SNDBUF, _ANSWER_BUFFER), (socket.SO_RCVTIMEO, _STALLED), (socket.SO_SNDTIMEO, _STALLED)):
            client.setsockopt(socket.SOL_SOCKET, option, value)
        self.nr_conns += 1
        self._await(TConn(self.cfg, client, address, listener.getsockname()))

    def on_client_socket_readable(self, conn: Any, client: socket.socket) -> None:
        """A connection that was kept open has something to say again."""
        self.poller.unregister(client)
        self.keepalived_conns.remove(conn)
        self._await(conn)

    def finish_request(self, conn: Any, fs: Any) -> None:
        """Keep a connection open or close it; what it has sent beyond its request is the beginning of the next."""
        kept = not fs.cancelled() and fs.exception() is None and fs.result() is True
        if kept and conn.parser.unreader.buf.getvalue():
            self._await(conn, conn.parser.unreader.take_buffered())
        else:
            super().finish_request(conn, fs)

    def murder_pending(self) -> None:
        """Give up what does not come in time; when stopping, also connections that have not begun."""
        super().murder_pending()
        now = time.monotonic()
        for conn, (arriving, until) in list(self.arriving.items()):
            if until < now or not (self.alive or arriving.taken):
                self._give_up(conn, Problem(KINDS["too-slow-sending"], "The request did not come in time.") if arriving.taken else None)

    def handle_error(self, _req: Any, client: socket.socket, _addr: Any, exc: Exception) -> None:
        """Answer what is no HTTP as every error is answered, and repeat none of it in the log."""
        if isinstance(exc, ParseException):
            self.log.warning("Invalid request: %s", type(exc).__name__)
            _answer(client, Problem(KINDS["bad-request"], "This is not HTTP/1.1 as it has to be, or a line of it is too long."))
        else:
            _answer(client, failure(exc, "-"))

    def _await(self, conn: Any, begun: bytes = b"") -> None:
        conn.sock.setblocking(False)
        arriving = Arriving(LIMITS.batch_bytes)
        self.arriving[conn] = arriving, time.monotonic() + (IN_WITHIN_S if conn.initialized or begun else self.cfg.keepalive)
        self.poller.register(conn.sock, selectors.EVENT_READ, partial(self._more, conn))
        self._take(conn, begun) if begun else self._more(conn, conn.sock)

    def _more(self, conn: Any, client: socket.socket) -> None:
        try:
            piece = client.recv(_PIECE)
        except BlockingIOError:
            return
        except OSError:
            piece = b""
        if piece:
            self._take(conn, piece)
        else:
            self._give_up(conn)

    def _take(self, conn: Any, piece: bytes) -> None:
        arriving, _ = self.arriving[conn]
        if not arriving.taken:
            self.arriving[conn] = arriving, time.monotonic() + IN_WITHIN_S
        if arriving.add(piece):
            self._hand_over(conn, arriving)
        elif sum(len(each.taken) for each, _ in self.arriving.values()) > HELD_BYTES:
            self._give_up(conn, Problem(KINDS["too-busy"], "Too much is on its way in.", headers={"Retry-After": "1"}))
        elif arriving.expects:
            arriving.word_given()
            conn.sock.send(b"HTTP/1.1 100 Continue\r\n\r\n")

    def _hand_over(self, conn: Any, arriving: Arriving) -> None:
        del self.arriving[conn]
        self.poller.unregister(conn.sock)
        conn.init()
        conn.parser.unreader.unread(bytes(arriving.taken))
        conn.data_ready = True
        self.enqueue_req(conn)

    def _give_up(self, conn: Any, why: Problem | None = None) -> None:
        del self.arriving[conn]
        self.poller.unregister(conn.sock)
        if why:
            _answer(conn.sock, why)
        self.nr_conns -= 1
        conn.close()


def _answer(client: socket.socket, problem: Problem) -> None:
    """Write a problem to a socket and expect nothing of it."""
    content = problem.content()
    head = b"HTTP/1.1 %d %s\r\nContent-Type: %s\r\nContent-Length: %d\r\nCache-Control: no-store\r\nConnection: close\r\n" % (
        problem.kind.status, _WORDS[problem.kind.status], MEDIA_TYPE.encode(), len(content),
    )  # fmt: skip
    more = "".join(f"{name}: {value}\r\n" for name, value in problem.headers.items()).encode()
    try:
        client.send(head + more + b"\r\n" + content)
    except OSError:
        return
