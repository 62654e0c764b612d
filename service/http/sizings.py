"""Timber chosen from stock for a design."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import msgspec
from flask import Blueprint, Response

from service.deadline import Deadline
from service.formats import sizing
from service.formats.html import POLICY
from service.http.answering import answer
from service.http.asking import JSON, body, chosen_format, options
from service.http.running import running
from service.sizings import size_document

FORMATS: Mapping[str, Callable[[bytes], bytes]] = {
    JSON: lambda told: told,
    "text/plain": lambda told: sizing.text(msgspec.json.decode(told)),
    "text/markdown": lambda told: sizing.markdown(msgspec.json.decode(told)),
    "text/html": lambda told: sizing.html(msgspec.json.decode(told)),
}
"""Media types a sizing is given in, each with what dresses its JSON bytes so."""

sizings = Blueprint("sizings", __name__)


@sizings.post("/v1/sizings")
def post_sizing() -> Response:
    """Choose timber for a design. It holds one place in the line and takes its turn check by check."""
    here, media_type = running(), chosen_format(tuple(FORMATS))
    wanted = options()
    content = body(here.settings.max_body_bytes)
    deadline = Deadline.after(here.settings.deadline_s)
    with here.room.place():
        told = size_document(
            content, here.library, today=here.today(), options=wanted, largest=here.settings.max_body_bytes, deadline=deadline,
            engine=here.engine, turn=lambda: here.room.turn(deadline),
        )  # fmt: skip
    dressed = answer(FORMATS[media_type](told), media_type)
    if media_type == "text/html":
        dressed.headers["Content-Security-Policy"] = POLICY
    return dressed
