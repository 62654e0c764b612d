"""The designs of one building in one document."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import msgspec
from flask import Blueprint, Response

from service.formats import job
from service.formats.html import POLICY
from service.http.answering import answer
from service.http.asking import JSON, body, chosen_format, options
from service.http.running import running
from service.jobs import do_job
from service.limits import LIMITS

FORMATS: Mapping[str, Callable[[bytes], bytes]] = {
    JSON: lambda told: told,
    "text/plain": lambda told: job.text(msgspec.json.decode(told)),
    "text/markdown": lambda told: job.markdown(msgspec.json.decode(told)),
    "text/html": lambda told: job.html(msgspec.json.decode(told)),
}
"""Media types a job's answer is given in, each with what dresses its JSON bytes so."""

jobs = Blueprint("jobs", __name__)


@jobs.post("/v1/jobs")
def post_job() -> Response:
    """Check the designs of a job. It holds one place in the line and takes its turn design by design."""
    here, media_type = running(), chosen_format(tuple(FORMATS))
    wanted = options()
    content = body(LIMITS.job_bytes)
    with here.room.place():
        told = do_job(
            content, here.library, today=here.today(), options=wanted, largest=here.settings.max_body_bytes, seconds=here.settings.deadline_s,
            engine=here.engine, turn=here.room.turn,
        )  # fmt: skip
    dressed = answer(FORMATS[media_type](told), media_type)
    if media_type == "text/html":
        dressed.headers["Content-Security-Policy"] = POLICY
    return dressed
