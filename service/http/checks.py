"""Designs in, reports and analyses out."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import msgspec
from flask import Blueprint, Response

from service.deadline import Deadline
from service.formats import text
from service.http.answering import answer
from service.http.asking import JSON, body, chosen_format, no_options, options
from service.http.running import running
from service.pipeline import analyse_document, check_document

REPORT_FORMATS: Mapping[str, Callable[[bytes], bytes]] = {
    JSON: bytes,
    "text/plain": lambda report: text.render(msgspec.json.decode(report)),
}
"""Media types a report is given in, each with what dresses its JSON bytes so. The first is given when nothing is asked for."""

checks = Blueprint("checks", __name__)


@checks.post("/v1/checks")
def post_check() -> Response:
    """Check one design."""
    here = running()
    media_type, wanted, content = chosen_format(tuple(REPORT_FORMATS)), options(), body(here.settings.max_body_bytes)
    deadline = Deadline.after(here.settings.deadline_s)
    with here.room.enter(deadline):
        report = check_document(
            content, here.library, today=here.today(), options=wanted, largest=here.settings.max_body_bytes, deadline=deadline,
            engine=here.engine,
        )  # fmt: skip
    return answer(REPORT_FORMATS[media_type](report), media_type)


@checks.post("/v1/analyses")
def post_analysis() -> Response:
    """Analyse one design without judging it."""
    here, media_type = running(), chosen_format((JSON,))
    no_options()
    content = body(here.settings.max_body_bytes)
    deadline = Deadline.after(here.settings.deadline_s)
    with here.room.enter(deadline):
        analysis = analyse_document(
            content, here.library, today=here.today(), largest=here.settings.max_body_bytes, deadline=deadline, engine=here.engine,
        )  # fmt: skip
    return answer(analysis, media_type)
