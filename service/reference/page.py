"""The page put together: operations in the order of the contract, then every shape there is."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from service.openapi.document import document
from service.openapi.operations import OPERATIONS, Operation
from service.reference.samples import ADDRESS, Sample, sample
from service.reference.shapes import Field, Shape, field, shape

_REFERENCE = re.compile(r"#/components/schemas/(\w+)")
_CODE = re.compile(r"`([^`]+)`|\*\*([^*]+)\*\*|\*([^*]+)\*")


@dataclass(frozen=True, slots=True)
class Call:
    """One operation as the page shows it."""

    operation: Operation
    options: tuple[Field, ...]
    takes: str | None
    answers: tuple[tuple[str, str | None], ...]
    problems: tuple[tuple[int, str], ...]
    sample: Sample


def style() -> str:
    """The page's one style sheet."""
    return (files("service.reference") / "templates" / "reference.css").read_text(encoding="utf-8")


def policy() -> str:
    """What a browser may do with the page: use its one style sheet, and nothing else."""
    digest = base64.b64encode(hashlib.sha256(style().encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{digest}'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"


@cache
def reference_page() -> bytes:
    """The whole page, as HTML in UTF-8."""
    environment = Environment(
        loader=PackageLoader("service.reference"), undefined=StrictUndefined, autoescape=True, trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    environment.filters["words"] = _words
    told = document()
    tags = [tag["name"] for tag in told["tags"]]
    calls = {tag: [_call(operation, told) for operation in OPERATIONS if operation.tag == tag] for tag in tags}
    page = environment.get_template("reference.html").render(
        info=told["info"], calls=calls, asked=list(_shapes(told, taken=True)), given=list(_shapes(told, taken=False)), style=Markup(style()),
        address=ADDRESS,
    )  # fmt: skip
    return page.encode()


def _call(operation: Operation, told: Mapping[str, Any]) -> Call:
    shown = told["paths"][operation.path][operation.method]
    options = tuple(
        field(each["name"], {"description": each["description"], **each["schema"]}, each["required"], told["components"]["schemas"])
        for each in shown.get("parameters", ())
    )
    content = shown["responses"]["200"].get("content", {})
    answers = tuple((media_type, _name(each.get("schema", {}))) for media_type, each in content.items())
    components = told["components"]["responses"]
    problems = tuple(
        (int(status), components[each["$ref"].rpartition("/")[2]]["description"])
        for status, each in shown["responses"].items()
        if "$ref" in each
    )
    takes = next((_name(each["schema"]) for each in shown.get("requestBody", {}).get("content", {}).values()), None)
    return Call(operation, options, takes, answers, problems, sample(operation))


def _name(schema: Mapping[str, Any]) -> str | None:
    reference = schema.get("$ref")
    return str(reference).rpartition("/")[2] if reference else None


def _shapes(told: Mapping[str, Any], *, taken: bool) -> Iterator[Shape]:
    schemas = told["components"]["schemas"]
    made = (shape(name, schemas[name], schemas) for name in _from_the_top(schemas))
    return (each for each in made if each.open != taken)


def _from_the_top(schemas: Mapping[str, Any]) -> Iterator[str]:
    """Every shape, the whole documents first and each part after what it is a part of."""
    within = {name: dict.fromkeys(_REFERENCE.findall(json.dumps(schema))) for name, schema in schemas.items()}
    parts = {part for names in within.values() for part in names}
    waiting, seen = [name for name in schemas if name not in parts], set()
    while waiting:
        name = waiting.pop(0)
        if name not in seen:
            seen.add(name)
            yield name
            waiting.extend(within[name])


def _words(text: str) -> Markup:
    """Paragraphs of the contract's descriptions, whose only marks are code and stress."""
    paragraphs = [" ".join(part.split()) for part in str(text).split("\n\n")]
    return Markup("").join(Markup("<p>{}</p>").format(_marked(part)) for part in paragraphs)


def _marked(text: str) -> Markup:
    made, at = Markup(""), 0
    for found in _CODE.finditer(text):
        tag = "code" if found[1] else "strong" if found[2] else "em"
        made += escape(text[at : found.start()]) + Markup(f"<{tag}>{{}}</{tag}>").format(found[1] or found[2] or found[3])
        at = found.end()
    return made + escape(text[at:])
