"""Answers: bytes with their type, and the headers every answer carries."""

from __future__ import annotations

import re
import uuid
from collections.abc import Mapping
from typing import Any

from flask import Response, g, request

from service.encoding import encode
from service.http.asking import JSON
from service.http.tagging import is_unwanted, seal_answer
from service.problems import KINDS, MEDIA_TYPE, Problem

_REQUEST_ID = re.compile(r"[A-Za-z0-9._~-]{1,128}")
_TRACE_PARENT = re.compile(r"00-(?!0{32})([0-9a-f]{32})-(?!0{16})[0-9a-f]{16}-[0-9a-f]{2}")
CHANGED = "What is here has another tag than those under If-Match."
ALWAYS = {
    "X-Content-Type-Options": "nosniff",
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
}
"""Headers of every answer."""


def answer(content: bytes, media_type: str) -> Response:
    """A 200 with these bytes."""
    text = media_type.startswith("text/") or media_type == "application/yaml"
    return Response(content, content_type=f"{media_type}; charset=utf-8" if text else media_type)


def answer_json(document: Mapping[str, Any]) -> Response:
    """A 200 with this document as JSON."""
    return answer(encode(document), JSON)


def answer_problem(problem: Problem) -> Response:
    """The problem, as RFC 9457 has it, whatever Accept says."""
    g.problem = problem.kind.code
    content = problem.content(f"urn:birdsmouth:request:{request_id()}")
    return Response(content, status=problem.kind.status, content_type=MEDIA_TYPE, headers=dict(problem.headers))


def request_id() -> str:
    """The caller's X-Request-Id when it is of a harmless form, else one made here; the same all through a request."""
    if "request_id" not in g:
        given = request.headers.get("X-Request-Id", "")
        g.request_id = given if _REQUEST_ID.fullmatch(given) else uuid.uuid4().hex
    return str(g.request_id)


def trace_id() -> str | None:
    """The trace this request is part of (W3C Trace Context), where a whole and harmless traceparent says so."""
    found = _TRACE_PARENT.fullmatch(request.headers.get("traceparent", ""))
    return found[1] if found else None


def finish(response: Response) -> Response:
    """Put the headers on that every answer carries."""
    for name, value in ALWAYS.items():
        response.headers.setdefault(name, value)
    response.vary.add("Accept")
    if request.url_rule and "QUERY" in (request.url_rule.methods or ()):
        response.headers["Accept-Query"] = f'"{JSON}"'
    response.headers["X-Request-Id"] = request_id()
    if trace_id():
        response.headers["traceparent"] = request.headers["traceparent"]
    sealed = seal_answer(response)
    return finish(answer_problem(Problem(KINDS["changed"], CHANGED))) if is_unwanted(sealed) else sealed
