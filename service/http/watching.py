"""One line in the log and one count in the figures for each answer: how it was asked, how it ended, how long it took."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial

from flask import Flask, Response, g, request

from service.http.access import caller
from service.http.answering import request_id, trace_id
from service.http.running import running
from service.journal import journal
from service.metrics import Metrics
from service.problems import MEDIA_TYPE

_METHODS = frozenset(("GET", "HEAD", "OPTIONS", "POST", "QUERY", "PUT", "PATCH", "DELETE"))
_LOG = journal("birdsmouth.answers")


def watch(app: Flask) -> None:
    """Time every request and tell of every answer, after all else has been done to it: to be called before anything else is registered."""
    app.before_request(_begin)
    app.after_request(_end)


def _begin() -> None:
    g.began = time.perf_counter()


def _end(response: Response) -> Response:
    told = _teller(response)
    if response.is_streamed:
        response.call_on_close(told)
    else:
        told()
    return response


def _teller(response: Response) -> Callable[[], None]:
    """What tells of this answer, with all it needs of the request: a streamed answer outlives that."""
    method = request.method if request.method in _METHODS else "other"
    route = request.url_rule.rule if request.url_rule else "none"
    code = g.get("problem") if response.mimetype == MEDIA_TYPE else None
    known = {"request": request_id(), "trace": trace_id(), "caller": caller(), "problem": code}
    return partial(_tell, running().metrics, g.get("began"), response, method, route, {name: word for name, word in known.items() if word})


def _tell(metrics: Metrics, began: float | None, response: Response, method: str, route: str, known: dict[str, str]) -> None:
    seconds = time.perf_counter() - began if began is not None else 0.0
    size = response.content_length or 0
    metrics.answered(method, route, response.status_code, seconds, size)
    if "problem" in known:
        metrics.refused(known["problem"])
    _LOG.info("answered", method=method, route=route, status=response.status_code, bytes=size, ms=round(1000.0 * seconds, 2), **known)
