"""Examples for members of answers, taken from real answers to the examples of the contract, so that none is thought up.

`python -m service.openapi --harvest` asks the whole service and writes them down; the contract only reads them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

Schema = Mapping[str, Any]
Found = dict[str, dict[str, Any]]
FILE = "answer_examples.json"
LONGEST = 300
_TO_A_SCHEMA = "#/components/schemas/"


def harvested() -> Found:
    """Of every shape the members for which an example was found."""
    found: Found = json.loads((files("service.openapi") / FILE).read_text(encoding="utf-8"))
    return found


def exemplified(shapes: dict[str, Any]) -> dict[str, Any]:
    """The shapes, each member without a hint of its own given the example that was found for it."""
    for name, members in harvested().items():
        told = shapes.get(name, {}).get("properties", {})
        for member, value in members.items():
            if member in told and not hinted(told[member]):
                told[member]["examples"] = [value]
    return shapes


def hinted(schema: Schema) -> bool:
    """Whether a member says itself what it may look like, or is an object told of elsewhere."""
    inner = (*schema.get("anyOf", ()), schema.get("items"), schema.get("additionalProperties"))
    own = any(name in schema for name in ("examples", "enum", "$ref")) or schema.get("type") == "boolean"
    return own or any(hinted(each) for each in inner if isinstance(each, Mapping))


def harvest() -> None:
    """Ask the service the examples of the contract, the designs of the demo and what names a place, and keep what the answers show."""
    from service.openapi.document import bare_document

    told, found = bare_document(), Found()
    for shape, answer in _answers(told):
        _look(shape, answer, told["components"]["schemas"], found)
    text = json.dumps({name: kept for name, kept in found.items() if kept}, ensure_ascii=False, indent=1, sort_keys=True)
    (Path(__file__).parent / FILE).write_text(text + "\n", encoding="utf-8")


def _answers(told: Schema) -> Iterator[tuple[Schema, Any]]:
    """Real answers, each with the schema it keeps."""
    from service.demo import design_names, read_design
    from service.http import create_app
    from service.openapi.examples import FAULTY_ROOF
    from service.openapi.operations import OPERATIONS

    client = create_app().test_client()
    for operation in OPERATIONS:
        content = told["paths"][operation.path][operation.method]["responses"]["200"].get("content", {}).get("application/json")
        if content is None:
            continue
        bodies = [operation.example[2], *(json.loads(read_design(name)) for name in design_names())] if operation.takes else [None]
        for path in _placed(operation.path):
            for body in bodies if operation.name in ("check", "analyse") else bodies[:1]:
                answer = client.open(
                    f"{path}?include=all&response=combinations" if operation.name == "check" else path, method=operation.method, json=body
                )
                yield content["schema"], answer.get_json()
    yield {"$ref": f"{_TO_A_SCHEMA}Problem"}, client.post("/v1/checks", json=FAULTY_ROOF).get_json()


def _placed(path: str) -> Iterator[str]:
    """The path with places of its own filled in."""
    places = {"pack": "eurocode-timber", "rule": "compression", "code": "unknown-field", "name": "pack"}
    for pack in ("eurocode-timber", "uk-practice") if path.endswith("{pack}") else ("eurocode-timber",):
        yield path.format(**{**places, "pack": pack})


def _look(schema: Schema, value: Any, shapes: Mapping[str, Schema], found: Found) -> None:
    for inner, each in _within(schema, value):
        name = str(inner.get("$ref", "")).removeprefix(_TO_A_SCHEMA)
        if name and isinstance(each, Mapping):
            _keep(name, each, shapes, found)
        elif not name:
            _look(inner, each, shapes, found)


def _keep(name: str, value: Mapping[str, Any], shapes: Mapping[str, Schema], found: Found) -> None:
    kept = found.setdefault(name, {})
    for member, told in shapes[name].get("properties", {}).items():
        held = value.get(member)
        shown = held[:1] if isinstance(held, list) else held
        if shown not in (None, "", [], {}) and member not in kept and not hinted(told) and len(json.dumps(shown)) <= LONGEST:
            kept[member] = shown
        _look(told, held, shapes, found)


def _within(schema: Schema, value: Any) -> Iterator[tuple[Schema, Any]]:
    if "$ref" in schema:
        yield schema, value
    for option in schema.get("anyOf", ()):
        yield option, value
    if isinstance(value, list) and isinstance(schema.get("items"), Mapping):
        yield from ((schema["items"], each) for each in value)
    if isinstance(value, Mapping) and isinstance(schema.get("additionalProperties"), Mapping):
        yield from ((schema["additionalProperties"], each) for each in value.values())
