"""Who is let in: with tokens, whoever sends one; without, programs on this machine; everybody only where the operator says so."""

from __future__ import annotations

import ipaddress

from flask import Flask, g, request

from rules.subject.faults import Fault
from service.http.running import running
from service.problems import KINDS, Problem, Refusal
from service.tokens import name_of

FORWARDED = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Real-IP", "Via")
"""Any of these says that somebody stands between: the peer's address is then a gateway's and proves nothing."""
GUARDED = ("/v1/", "/metrics")
"""Where designs and figures are. Pages, the contract and what probes ask are for everybody."""
_SCHEME = "bearer "


def guard(app: Flask) -> None:
    """Look at every request before anything is done for it."""
    app.before_request(_look)


def caller() -> str | None:
    """The name of the token this request came with; None when it came without one."""
    name: str | None = g.get("caller")
    return name


def is_here() -> bool:
    """Whether the caller is plainly a program on this machine: nobody forwarded it."""
    if any(name in request.headers for name in FORWARDED):
        return False
    try:
        return ipaddress.ip_address(request.remote_addr or "").is_loopback
    except ValueError:
        return False


def refused_here(detail: str) -> Refusal:
    """The refusal (403) of a caller who is not on this machine and has no token."""
    fault = Fault("", "not-allowed", detail, hint="Send Authorization: Bearer and a token, or call from the machine it runs on.")
    return Refusal(Problem(KINDS["not-allowed"], detail, faults=(fault,)))


def _look() -> None:
    settings = running().settings
    if settings.tokens:
        g.caller = name_of(_given(), settings.tokens)
    if not request.path.startswith(GUARDED) or request.method == "OPTIONS" or settings.open_to_all:
        return
    if settings.tokens and caller() is None:
        raise _unknown()
    if not settings.tokens and not is_here():
        raise refused_here("Only programs on the machine this service runs on may call it: its operator has set up no tokens.")


def _given() -> str:
    written = request.headers.get("Authorization", "")
    return written[len(_SCHEME) :].strip() if written.lower().startswith(_SCHEME) else ""


def _unknown() -> Refusal:
    came = "Authorization" in request.headers
    detail = "The token is none that is known here." if came else "There is no token with this request."
    fault = Fault("", "token-needed", detail, hint="Send Authorization: Bearer and the token the operator gave you.")
    return Refusal(Problem(KINDS["token-needed"], detail, faults=(fault,), headers={"WWW-Authenticate": 'Bearer realm="birdsmouth"'}))
