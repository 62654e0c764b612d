"""Putting the document together."""

from __future__ import annotations

import json
from functools import cache
from http import HTTPStatus
from io import StringIO
from typing import Any

from apispec import APISpec
from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedSeq
from ruamel.yaml.scalarstring import DoubleQuotedScalarString, LiteralScalarString

from rules import __version__
from rules.subject.faults import DesignRefused
from service.limits import LIMITS
from service.openapi.converting import Plugin, component_name
from service.openapi.examples import FAULTY_ROOF, PLACES, SMALL_ROOF
from service.openapi.harvesting import exemplified
from service.openapi.operations import JSON, NDJSON, OPERATIONS, Operation
from service.problems import KINDS, MEDIA_TYPE, problem_of
from service.schemas import to_design
from service.schemas.answers.catalogue import ProblemSchema

_DESCRIPTION = """\
Checks timber roof trusses, floor joists and cut roofs. A frame goes in as JSON; findings come out, each with its working and its source.

What one request may hold stands under `x-limits` and at `/version`. Units stand at the end of every name (`span_mm`, `line_kn_per_m`) and in `x-unit`. x points right, y up; compression is negative, tension
positive. Null and absent both mean *not stated*. What is not known is refused or stays open; nothing is guessed in silence.

Every error is `application/problem+json`. Besides those listed, any address may answer 400 to what is no HTTP/1.1, 408 to what comes too slowly, 412 to an `If-Match` that
holds no longer, 414 and 431 to an address or a head that is too long, and 500 or 503. Take fields, findings and problem codes you do not know as they come: within a
format that ends in `-1` and within `/v1`, answers only grow, and what is taken today is taken as long as `/v1` is there. A successor would stand beside it under another
name, and a year before anything of `/v1` goes its answers would say so in the headers `Deprecation` (RFC 9745) and `Sunset` (RFC 8594).

**A report is no approval.** The local code and a licensed engineer have the last word.
"""


_LINKS = {
    "listPacks": {
        "first pack": {"operationId": "showPack", "parameters": {"pack": "$response.body#/packs/0/id"}, "description": "Show the first of them."},
    },
    "check": {
        "pack in force": {"operationId": "showPack", "parameters": {"pack": "$response.body#/packs/0/id"}, "description": "Show a pack it was checked against."},
    },
}  # fmt: skip
"""Where an answer leads."""
_FAULT_LINK = {
    "what it means": {"operationId": "explain", "parameters": {"code": "$response.body#/errors/0/code"}, "description": "Explain the first fault."},
}  # fmt: skip


_TOKEN = {
    "type": "http", "scheme": "bearer",
    "description": "Asked for where the operator has handed out tokens. Without, the service answers this machine alone, or everybody where a gateway sees to who may call.",
}  # fmt: skip
_ASKED_FOR_A_TOKEN = 401

_YES_OR_NO = frozenset(written for word in ("y", "n", "yes", "no", "on", "off") for written in (word, word.capitalize(), word.upper()))


@cache
def reference() -> bytes:
    """The OpenAPI document as YAML: the bytes of openapi.yaml."""
    written = StringIO()
    yaml = YAML()
    yaml.default_flow_style = False
    yaml.width = 150
    yaml.representer.add_representer(type(None), lambda representer, _: representer.represent_scalar("tag:yaml.org,2002:null", "null"))
    yaml.representer.add_representer(
        float, lambda representer, value: representer.represent_scalar("tag:yaml.org,2002:float", _pointed(value))
    )
    yaml.dump(_laid_out(document()), written)
    return written.getvalue().encode()


def _laid_out(value: Any) -> Any:
    """The value as a reader wants it in YAML: texts of several lines as blocks, lists of single words on one line."""
    if isinstance(value, dict):
        return {_quoted(name): _laid_out(item) for name, item in value.items()}
    if isinstance(value, list):
        items = CommentedSeq(map(_laid_out, value))
        if not any(isinstance(item, dict | list) for item in value):
            items.fa.set_flow_style()
        return items
    return LiteralScalarString(value) if isinstance(value, str) and "\n" in value else _quoted(value)


def _pointed(value: float) -> str:
    """The number with a point in it: readers of YAML 1.1 take 1e-09 for a text."""
    written = repr(value)
    return written if "." in written else written.replace("e", ".0e")


def _quoted(value: Any) -> Any:
    """A word that readers of YAML 1.1 take for yes or no, such as the field `on`, with quotes around it."""
    return DoubleQuotedScalarString(value) if value in _YES_OR_NO else value


def document() -> dict[str, Any]:
    """The OpenAPI document as a JSON object."""
    told = bare_document()
    exemplified(told["components"]["schemas"])
    return told


def bare_document() -> dict[str, Any]:
    """The same without the examples that were found in answers."""
    spec = APISpec(
        title="birdsmouth", version=__version__, openapi_version="3.1.0", plugins=[Plugin(schema_name_resolver=component_name)],
        info={
            "description": _DESCRIPTION, "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"}, "x-limits": LIMITS.published(),
        },
        servers=[{"url": "/", "description": "Wherever the service runs"}],
        tags=[{"name": "Designs"}, {"name": "Rules"}, {"name": "Operation"}],
    )  # fmt: skip
    for status in sorted({status for operation in OPERATIONS for status in operation.problems}):
        spec.components.response(_problem_name(status), _problem(status))
    spec.components.security_scheme("token", _TOKEN)
    for operation in OPERATIONS:
        spec.path(path=operation.path, operations={operation.method: _operation(operation)})
    return _ordered(spec.to_dict())


def _ordered(told: dict[str, Any]) -> dict[str, Any]:
    """The parts in the order in which a reader wants them."""
    info = told.pop("info")
    info = {name: info[name] for name in ("title", "version", "license", "description", "x-limits")}
    return {"openapi": told.pop("openapi"), "info": info, **told}


def _operation(operation: Operation) -> dict[str, Any]:
    told: dict[str, Any] = {
        "operationId": operation.name, "tags": [operation.tag], "summary": operation.summary, "description": operation.description,
    }  # fmt: skip
    parameters = [*_places(operation), *([{"in": "query", "schema": operation.options}] if operation.options else [])]
    if parameters:
        told["parameters"] = parameters
    if operation.takes:
        told["requestBody"] = {"required": True, "content": {JSON: {"schema": operation.takes, "examples": _example(operation)}}}
    if operation.lines:
        told["requestBody"] = {"required": True, "content": {NDJSON: {"schema": {"type": "string"}, "examples": _lines_example()}}}
    if _ASKED_FOR_A_TOKEN in operation.problems:
        told["security"] = [{}, {"token": []}]
    problems = {str(status): _problem_name(status) for status in operation.problems}
    return {**told, "responses": {"200": _answer(operation), **problems}}


def _places(operation: Operation) -> list[dict[str, Any]]:
    return [
        {"in": "path", "name": name, "required": True, "description": means, "schema": {"type": "string"}, "example": PLACES[name]}
        for name, means in operation.places.items()
    ]


def _answer(operation: Operation) -> dict[str, Any]:
    content = {media_type: {"schema": schema or {"type": "string"}} for media_type, schema in operation.answers.items()}
    links = {"links": _LINKS[operation.name]} if operation.name in _LINKS else {}
    return {"description": "What was asked for.", "content": content, **links}


def _problem_name(status: int) -> str:
    return f"Problem{status}"


def _problem(status: int) -> dict[str, Any]:
    titles = [kind.title for kind in KINDS.values() if kind.status == status]
    content: dict[str, Any] = {"schema": ProblemSchema}
    if status == HTTPStatus.UNPROCESSABLE_ENTITY:
        content["examples"] = {"two-slips": {"summary": "Two slips in one document", "value": _problem_example()}}
    links = {"links": _FAULT_LINK} if status == HTTPStatus.UNPROCESSABLE_ENTITY else {}
    return {"description": "; ".join(titles) + ".", "content": {MEDIA_TYPE: content}, **links}


def _example(operation: Operation) -> dict[str, Any]:
    name, summary, value = operation.example
    return {name: {"summary": summary, "value": value}}


def _lines_example() -> dict[str, Any]:
    lines = "".join(f"{json.dumps(design, ensure_ascii=False)}\n" for design in (SMALL_ROOF, FAULTY_ROOF))
    return {"two-lines": {"summary": "One that can be checked and one that cannot", "value": lines}}


def _problem_example() -> dict[str, Any]:
    """What the service answers to the faulty example, made by asking it."""
    try:
        to_design(FAULTY_ROOF)
    except DesignRefused as refused:
        problem = problem_of(refused)
        assert problem is not None
        return problem.document()
    raise AssertionError("the faulty example has to be refused")
