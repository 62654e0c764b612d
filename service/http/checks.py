"""Designs in, reports and analyses out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

import msgspec
from flask import Blueprint, Response, request

from service.deadline import Deadline
from service.formats import builder, text
from service.formats.dressing import FORMATS
from service.formats.html import POLICY
from service.http.answering import answer
from service.http.asking import JSON, body, chosen_format, dressed_options, no_options
from service.http.running import running
from service.http.tagging import is_known, not_modified, query_tag, tag_later
from service.pipeline import analyse_document, check_document, expand_document

REPORT_FORMATS: Mapping[str, Callable[[bytes, str | None], bytes]] = {
    JSON: lambda report, _source: report,
    "text/plain": lambda report, source: text.render(msgspec.json.decode(report), source),
    **{form.media_type: form.dress for form in FORMATS.values() if form.media_type},
}
"""Media types a report is given in, each with what dresses its JSON bytes so. The first is given when nothing is asked for."""
BUILDER_FORMATS: Mapping[str, Callable[[bytes, str | None], bytes]] = {
    "text/html": partial(builder.dress, form="html"),
    "application/pdf": partial(builder.dress, form="pdf"),
    "text/plain": partial(builder.dress, form="text"),
}
"""The same of the page for the builder."""
DRESSES = {"designer": REPORT_FORMATS, "builder": BUILDER_FORMATS}

checks = Blueprint("checks", __name__)


@checks.route("/v1/checks", methods=["POST", "QUERY"])
def post_check() -> Response:
    """Check one design. QUERY (RFC 10008) says that asking changes nothing, so its answer can be held and asked about again."""
    here = running()
    wanted, source, reader = dressed_options()
    media_type = chosen_format(tuple(DRESSES[reader]))
    content = body(here.settings.max_body_bytes)
    today = here.today()
    tag = query_tag(content, media_type, here.library, today) if request.method == "QUERY" else None
    if tag and is_known(tag):
        return not_modified(tag)
    deadline = Deadline.after(here.settings.deadline_s)
    with here.room.enter(deadline):
        report = check_document(
            content, here.library, today=today, options=wanted, largest=here.settings.max_body_bytes, deadline=deadline,
            engine=here.engine,
        )  # fmt: skip
        content = DRESSES[reader][media_type](report, source)
        deadline.left()
    tag_later(tag)
    dressed = answer(content, media_type)
    if media_type == "text/html":
        dressed.headers["Content-Security-Policy"] = POLICY
    return dressed


@checks.post("/v1/analyses")
def post_analysis() -> Response:
    """Analyse one design without judging it."""
    return _as_json(analyse_document)


@checks.post("/v1/expansions")
def post_expansion() -> Response:
    """Write a design out: its shape as a frame, what it carries as load cases."""
    return _as_json(expand_document)


def _as_json(made_of: Callable[..., bytes]) -> Response:
    """What is made of one design, for which nothing can be asked."""
    here, media_type = running(), chosen_format((JSON,))
    no_options()
    content = body(here.settings.max_body_bytes)
    deadline = Deadline.after(here.settings.deadline_s)
    with here.room.enter(deadline):
        made = made_of(
            content, here.library, today=here.today(), largest=here.settings.max_body_bytes, deadline=deadline, engine=here.engine,
        )  # fmt: skip
    return answer(made, media_type)
