"""One design under several rules, or several designs, side by side."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import msgspec
from flask import Blueprint, Response

from service.comparisons import compare_document
from service.deadline import Deadline
from service.formats import comparison
from service.formats.html import POLICY
from service.http.answering import answer
from service.http.asking import JSON, body, chosen_format, options
from service.http.running import running

FORMATS: Mapping[str, Callable[[bytes], bytes]] = {
    JSON: lambda told: told,
    "text/plain": lambda told: comparison.text(msgspec.json.decode(told)),
    "text/markdown": lambda told: comparison.markdown(msgspec.json.decode(told)),
    "text/html": lambda told: comparison.html(msgspec.json.decode(told)),
}
"""Media types a comparison is given in, each with what dresses its JSON bytes so."""

comparisons = Blueprint("comparisons", __name__)


@comparisons.post("/v1/comparisons")
def post_comparison() -> Response:
    """Compare the sides of a request."""
    here, media_type = running(), chosen_format(tuple(FORMATS))
    wanted = options()
    content = body(here.settings.max_body_bytes)
    deadline = Deadline.after(here.settings.deadline_s)
    with here.room.enter(deadline):
        told = compare_document(
            content, here.library, today=here.today(), options=wanted, largest=here.settings.max_body_bytes, deadline=deadline,
            engine=here.engine,
        )  # fmt: skip
    dressed = answer(FORMATS[media_type](told), media_type)
    if media_type == "text/html":
        dressed.headers["Content-Security-Policy"] = POLICY
    return dressed
