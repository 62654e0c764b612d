"""What HTTP itself asks of every request, whatever it is for: a host, and an answer to a question about the server as a whole."""

from __future__ import annotations

from flask import Flask, Response, request

from service.problems import KINDS, Problem, Refusal

METHODS = ("GET", "HEAD", "OPTIONS", "POST", "QUERY")
"""Those that some address here takes."""


def speak(app: Flask) -> None:
    """Look at every request before it is known what it is for."""
    app.before_request(_look)


def _look() -> Response | None:
    if request.environ.get("SERVER_PROTOCOL") == "HTTP/1.1" and not request.headers.get("Host"):
        raise Refusal(Problem(KINDS["bad-request"], "A request of HTTP/1.1 names its host (RFC 9112, 3.2); this has no Host header."))
    if request.method == "OPTIONS" and request.environ.get("RAW_URI") == "*":
        return Response(status=204, headers={"Allow": ", ".join(METHODS)})
    return None
