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
import uuid
from functools import partial
from http import HTTPStatus
from typing import Any

from gunicorn.http.errors import InvalidResponseHeader, InvalidResponseHeaderName, LimitRequestHeaders, LimitRequestLine, ParseException
from gunicorn.workers.gthread import TConn, ThreadWorker

from service.http.answering import ALWAYS
from service.http.arriving import Arriving
from service.http.refusing import failure
from service.http.running import held_by
from service.journal import journal
from service.limits import LIMITS
from service.problems import KINDS, MEDIA_TYPE, Problem

IN_WITHIN_S = 20.0
STALLED_S = 10
QUICK_STOP_S = 5
HELD_BYTES = 128 * 1024 * 1024
GARBLED = "This is no HTTP/1.1. Encryption (https) ends at the gateway; lines end with carriage return and line feed."
_PIECE = 256 * 1024
_ANSWER_BUFFER = 1024 * 1024
_STALLED = struct.pack("ll", STALLED_S, 0)
_OURS = (InvalidResponseHeader, InvalidResponseHeaderName)
"""What gunicorn calls a fault of the request and is one of the answer."""
_LOG = journal("birdsmouth.http")


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
        request = uuid.uuid4().hex
        if isinstance(exc, ParseException) and not isinstance(exc, _OURS):
            self._answer(client, _refusal(exc), request, reason=type(exc).__name__)
        else:
            self._answer(client, failure(exc, request), request)

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
        whole = arriving.add(piece)
        if arriving.garbled:
            self._give_up(conn, Problem(KINDS["bad-request"], GARBLED))
        elif whole:
            self._hand_over(conn, arriving)
        elif sum(len(each.taken) for each, _ in self.arriving.values()) > HELD_BYTES:
            self._give_up(conn, Problem(KINDS["too-busy"], "Too much is on its way in.", headers={"Retry-After": "1"}))
        elif arriving.expects:
            arriving.word_given()
            conn.sock.send(b"HTTP/1.1 100 Continue\r\n\r\n")

    def _hand_over(self, conn: Any, arriving: Arriving) -> None:
        del self.arriving[conn]
        self.poller.unregister(conn.sock)
        arriving.word_given()
        conn.init()
        conn.parser.unreader.unread(bytes(arriving.taken))
        conn.data_ready = True
        self.enqueue_req(conn)

    def _give_up(self, conn: Any, why: Problem | None = None) -> None:
        del self.arriving[conn]
        self.poller.unregister(conn.sock)
        if why:
            self._answer(conn.sock, why, uuid.uuid4().hex)
        self.nr_conns -= 1
        conn.close()

    def _answer(self, client: socket.socket, problem: Problem, request: str, **known: str) -> None:
        """Write a problem to a socket and expect nothing of it; count it, and put a line in the log, as of every other answer."""
        content = _whole_answer(problem, request)
        code, status = problem.kind.code, problem.kind.status
        metrics = held_by(self.wsgi).metrics
        metrics.answered("other", "none", status, 0.0, len(content))
        metrics.refused(code)
        _LOG.warning("refused unread", status=status, problem=code, request=request, **known)
        try:
            client.send(content)
        except OSError:
            return


def _refusal(error: ParseException) -> Problem:
    match error:
        case LimitRequestLine():
            return Problem(KINDS["address-too-long"], f"The address is longer than {LIMITS.request_line_bytes} bytes.")
        case LimitRequestHeaders():
            return Problem(
                KINDS["head-too-large"], f"More than {LIMITS.header_lines} header lines, or one above {LIMITS.header_line_bytes} bytes."
            )
    return Problem(KINDS["bad-request"], "This is not HTTP/1.1 as it has to be.")


def _whole_answer(problem: Problem, request: str) -> bytes:
    """A problem as an answer that no application has made, with the headers every answer has."""
    content, status = problem.content(f"urn:birdsmouth:request:{request}"), problem.kind.status
    headers = {
        "Content-Type": MEDIA_TYPE, "Content-Length": str(len(content)), "Cache-Control": "no-store", "Connection": "close",
        "X-Request-Id": request, **ALWAYS, **problem.headers,
    }  # fmt: skip
    lines = [f"HTTP/1.1 {status} {HTTPStatus(status).phrase}", *(f"{name}: {value}" for name, value in headers.items()), "", ""]
    return "\r\n".join(lines).encode("ascii") + content
