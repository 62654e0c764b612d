"""What operators and newcomers ask: is it alive, is it ready, what is it, what does that error mean."""

from __future__ import annotations

import platform
from importlib.metadata import version
from typing import Any

from flask import Blueprint, Response

from rules import __version__
from rules.library.loading import Library
from service.http.answering import answer, answer_json
from service.http.asking import JSON, chosen_format
from service.http.catalogue import told_of_broken
from service.http.pages import POLICY, front_page, problem_page
from service.http.running import running
from service.http.trying import try_out
from service.kinds import FAULTS
from service.metrics import MEDIA_TYPE as FIGURES
from service.openapi.document import reference
from service.problems import KINDS, Problem, Refusal
from service.reference.page import policy, reference_page
from service.schemas.design import FORMAT

operation = Blueprint("operation", __name__)


@operation.get("/")
def get_front() -> Response:
    """Say what this is."""
    return _page(front_page(__version__))


@operation.get("/healthz")
def get_health() -> Response:
    """Say that the process is alive."""
    return answer_json({"alive": True})


@operation.get("/readyz")
def get_readiness() -> Response:
    """Say whether designs can be checked: the packs are there, and a frame whose forces are known comes out right."""
    library = running().library
    stopping = [pack.name for pack in library.broken if pack.required]
    if stopping or not library.packs:
        detail = f"Packs that have to be there cannot be used: {', '.join(stopping)}." if stopping else "There is no rule pack."
        raise Refusal(Problem(KINDS["not-ready"], detail, headers={"Retry-After": "30"}))
    try_out(running().engine, library)
    return answer_json({"ready": True, "packs": len(library.packs), "broken": told_of_broken(library)})


@operation.get("/metrics")
def get_metrics() -> Response:
    """Give the figures of all processes of this service."""
    return Response(running().metrics.page(), content_type=FIGURES)


@operation.get("/version")
def get_version() -> Response:
    """Say what runs here, and what one request may ask for."""
    here = running()
    limits = {**here.settings.limits().published(), "deadline_s": here.settings.deadline_s, "waiting": here.settings.waiting}
    packs = [_pack(pack_id, here.library) for pack_id in sorted(pack.id for pack in here.library.packs)]
    told: dict[str, Any] = {"engine": __version__, "format": FORMAT, "python": platform.python_version(), "numpy": version("numpy")}
    return answer_json({**told, "packs": packs, "limits": limits})


def _pack(pack_id: str, library: Library) -> dict[str, Any]:
    pack = library.pack(pack_id)
    return {"id": pack.id, "edition": pack.edition, "release": pack.release, "digest": pack.digest}


@operation.get("/openapi.yaml")
def get_reference() -> Response:
    """Give the contract, as OpenAPI 3.1."""
    return answer(reference(), "application/yaml")


@operation.get("/docs")
def get_docs() -> Response:
    """Give the contract as a page for people."""
    response = answer(reference_page(), "text/html")
    response.headers["Content-Security-Policy"] = policy()
    return response


@operation.get("/problems/<code>")
def get_problem(code: str) -> Response:
    """Explain one kind of error, or one kind of fault of a document."""
    media_type = chosen_format((JSON, "text/html"))
    kind, meaning = KINDS.get(code), FAULTS.get(code)
    if kind is None and meaning is None:
        raise Refusal(Problem(KINDS["not-found"], f"There is no error called “{code[:100]}”."))
    told: dict[str, Any] = {"code": code, "meaning": kind.meaning if kind else meaning}
    told |= {"status": kind.status, "title": kind.title, "remedy": kind.remedy} if kind else {}
    return answer_json(told) if media_type == JSON else _page(problem_page(told))


def _page(content: bytes) -> Response:
    response = answer(content, "text/html")
    response.headers["Content-Security-Policy"] = POLICY
    return response
