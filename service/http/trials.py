"""Rule packs on trial: from this machine, or with a token."""

from __future__ import annotations

from flask import Blueprint, Response, request

from service.deadline import Deadline
from service.http.access import caller, is_here, refused_here
from service.http.answering import answer_json
from service.http.asking import JSON, body, chosen_format, no_options
from service.http.running import running
from service.trials import try_pack

trials = Blueprint("trials", __name__)


@trials.post("/v1/trials")
def post_trial() -> Response:
    """Try a declared rule pack."""
    here = running()
    _allowed()
    chosen_format((JSON,))
    no_options()
    content = body(here.settings.max_body_bytes)
    deadline = Deadline.after(here.settings.deadline_s)
    with here.room.enter(deadline):
        told = try_pack(
            content, here.library, today=here.today(), largest=here.settings.max_body_bytes, deadline=deadline, engine=here.engine,
        )  # fmt: skip
    return answer_json(told)


def _allowed() -> None:
    """Refuse (403) whoever has no token and is not plainly on this machine, in no browser."""
    if caller() is None and ("Authorization" in request.headers or "Origin" in request.headers or not is_here()):
        raise refused_here("Trials are taken only from this machine, or with a token.")
