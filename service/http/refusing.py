"""Whatever goes wrong leaves as a problem document, and nothing else of it does: no page, no stack, no word of a body in the log."""

from __future__ import annotations

import traceback

from flask import Flask, Response, request
from gunicorn.http.errors import ParseException
from werkzeug.exceptions import HTTPException

from service.http.answering import answer_problem, request_id
from service.journal import journal
from service.problems import KINDS, Problem, problem_of

_LOG = journal("birdsmouth.http")


def register(app: Flask) -> None:
    """Make an application answer every exception with a problem."""
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(ParseException, _garbled)
    app.register_error_handler(Exception, _other)


def _http(error: HTTPException) -> Response:
    match error.code:
        case 404:
            return answer_problem(Problem(KINDS["not-found"], f"There is nothing at {request.path[:200]}."))
        case 405:
            return answer_problem(_method(error))
        case code if code is not None and code < 500:
            return answer_problem(Problem(KINDS["bad-request"], str(error.description)))
    return _failure(error)


def _garbled(_error: ParseException) -> Response:
    """The server reads chunks only when they are asked for, so that it finds out here what is wrong with them."""
    return answer_problem(
        Problem(KINDS["bad-request"], "The chunks of the body are not as HTTP/1.1 has them.", headers={"Connection": "close"})
    )


def _method(error: HTTPException) -> Problem:
    allow = dict(error.get_headers()).get("Allow", "")
    taken = " and ".join(method for method in allow.split(", ") if method not in ("HEAD", "OPTIONS"))
    return Problem(
        KINDS["method-not-allowed"],
        f"{request.method[:20]} is not taken here; {taken} {'are' if ' and ' in taken else 'is'}.",
        headers={"Allow": allow},
    )


def _other(error: Exception) -> Response:
    problem = problem_of(error)
    if problem is None:
        return _failure(error)
    if problem.kind.status == 500:
        _LOG.error(str(error), request=request_id())
    return answer_problem(problem)


def failure(error: Exception, request: str) -> Problem:
    """The problem a failure of our own is, after writing it to the log: its stack, without its words, which may hold parts of the body."""
    stack = "".join(traceback.format_tb(error.__traceback__))
    _LOG.error("failed", request=request, exception=type(error).__name__, stack=stack)
    return Problem(KINDS["internal"], "The service failed; nothing was judged.")


def _failure(error: Exception) -> Response:
    return answer_problem(failure(error, request_id()))
