"""Rule packs on trial: from this machine, or with the operator's token."""

from __future__ import annotations

import hmac
import ipaddress

from flask import Blueprint, Response, request

from rules.subject.faults import Fault
from service.deadline import Deadline
from service.http.answering import answer_json
from service.http.asking import JSON, body, chosen_format, no_options
from service.http.running import running
from service.problems import KINDS, Problem, Refusal
from service.trials import try_pack

FORWARDED = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Real-IP", "Via")
"""Any of these says that somebody stands between: the peer's address is then a gateway's and proves nothing."""

trials = Blueprint("trials", __name__)


@trials.post("/v1/trials")
def post_trial() -> Response:
    """Try a declared rule pack."""
    here = running()
    _allowed(here.settings.trials_token)
    chosen_format((JSON,))
    no_options()
    content = body(here.settings.max_body_bytes)
    deadline = Deadline.after(here.settings.deadline_s)
    with here.room.enter(deadline):
        told = try_pack(
            content, here.library, today=here.today(), largest=here.settings.max_body_bytes, deadline=deadline, engine=here.engine,
        )  # fmt: skip
    return answer_json(told)


def _allowed(token: str | None) -> None:
    """Refuse (403) whoever has no token and is not plainly on this machine."""
    given = request.headers.get("Authorization", "")
    if token is not None and hmac.compare_digest(given.encode(), f"Bearer {token}".encode()):
        return
    if given == "" and _is_here():
        return
    detail = "The token is not the one that is asked for." if given else "Trials are taken only from this machine, or with a token."
    fault = Fault("", "not-allowed", detail, hint="Send Authorization: Bearer and the token, or run birdsmouth packs test.")
    raise Refusal(Problem(KINDS["not-allowed"], detail, faults=(fault,)))


def _is_here() -> bool:
    """Whether the caller is a program on this machine: nobody forwarded it, and no page in a browser sent it."""
    if any(name in request.headers for name in (*FORWARDED, "Origin")):
        return False
    try:
        return ipaddress.ip_address(request.remote_addr or "").is_loopback
    except ValueError:
        return False
