"""Pages of other origins that may call this service from a browser (CORS): none, unless the operator names them."""

from __future__ import annotations

from collections.abc import Sequence

from flask import Flask, Response
from flask_cors import CORS

from service.http.speaking import METHODS

_TAKEN = ["Accept", "Authorization", "Content-Digest", "Content-Type", "If-None-Match", "X-Request-Id", "traceparent"]
_SHOWN = ["Accept-Query", "Content-Digest", "ETag", "Repr-Digest", "Retry-After", "X-Request-Id", "traceparent"]


def share(app: Flask, origins: Sequence[str]) -> None:
    """Let pages of these origins, or of any where one is "*", call the application. Without cookies: there are none."""
    if origins:
        exact = "*" if "*" in origins else list(origins)
        CORS(app, origins=exact, methods=list(METHODS), allow_headers=_TAKEN, expose_headers=_SHOWN, max_age=600, vary_header=False)
        app.after_request(_by_origin)


def _by_origin(response: Response) -> Response:
    """Say that the answer hangs on who asks, and let pages of other origins use it; what the browser may read, CORS decides."""
    response.vary.add("Origin")
    response.headers["Cross-Origin-Resource-Policy"] = "cross-origin"
    return response
