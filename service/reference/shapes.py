"""A JSON Schema in words: of what kind a value is, and what it may be."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.reference.examples import Schema, Shapes, example

_KINDS = {"object": "object", "array": "list", "string": "text", "number": "number", "integer": "whole number", "boolean": "true or false", "null": "null"}  # fmt: skip
_TO_A_SCHEMA = "#/components/schemas/"


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind a value may be. to: the shape it is told of elsewhere on the page."""

    words: str
    to: str | None = None


@dataclass(frozen=True, slots=True)
class Field:
    """One member of an object, as a row of a table."""

    name: str
    required: bool
    kinds: tuple[Kind, ...]
    unit: str
    allowed: tuple[str, ...]
    example: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Shape:
    """One object, with a table of its members; `open`: others may come with a later release."""

    name: str
    meaning: str
    fields: tuple[Field, ...]
    open: bool


def shape(name: str, schema: Schema, shapes: Shapes) -> Shape:
    """What is told of an object."""
    required = set(schema.get("required", ()))
    fields = tuple(field(member, told, member in required, shapes) for member, told in schema.get("properties", {}).items())
    return Shape(name, str(schema.get("description", "")), fields, schema.get("additionalProperties") is not False)


def field(name: str, schema: Schema, required: bool, shapes: Shapes) -> Field:
    """What is told of one member. shapes: every shape of the contract by name, from which examples are put together."""
    return Field(
        name, required, tuple(dict.fromkeys(_kinds(schema))), str(_found(schema, "x-unit") or ""), tuple(dict.fromkeys(_allowed(schema))),
        example(schema, shapes), str(schema.get("description", "")),
    )  # fmt: skip


def _kinds(schema: Schema) -> Iterator[Kind]:
    if "$ref" in schema:
        name = str(schema["$ref"]).removeprefix(_TO_A_SCHEMA)
        yield Kind(name, name)
    for option in schema.get("anyOf", ()):
        yield from _kinds(option)
    named = schema.get("type", [])
    for kind in [named] if isinstance(named, str) else named:
        if kind == "array":
            yield from (Kind(f"list of {inner.words}", inner.to) for inner in _inner(schema, "items"))
        elif kind == "object" and schema.get("additionalProperties"):
            yield from (Kind(f"object of {inner.words}", inner.to) for inner in _inner(schema, "additionalProperties"))
        else:
            yield Kind("day" if schema.get("format") == "date" and kind == "string" else _KINDS[kind])


def _inner(schema: Schema, member: str) -> Iterator[Kind]:
    inner = schema.get(member)
    found = tuple(_kinds(inner)) if isinstance(inner, Mapping) else ()
    yield from found or (Kind("anything"),)


def _allowed(schema: Schema) -> Iterator[str]:
    words = [json.dumps(word, ensure_ascii=False) for word in schema.get("enum", ()) if word is not None]
    if words:
        yield "one of " + ", ".join(words) if len(words) > 1 else words[0]
    yield from (
        told.format(schema[name])
        for name, told in (
            ("minimum", "at least {:g}"), ("exclusiveMinimum", "above {:g}"), ("maximum", "at most {:.9g}"), ("x-form", "{}"),
            ("default", "{} when absent"),
        )
        if name in schema
    )  # fmt: skip
    yield from _counted(schema, "minLength", "maxLength", "characters")
    yield from _counted(schema, "minItems", "maxItems", "items")
    yield from _counted(schema, "minProperties", "maxProperties", "members")
    for inner in (*schema.get("anyOf", ()), schema.get("items"), schema.get("additionalProperties")):
        yield from _allowed(inner) if isinstance(inner, Mapping) else ()


def _counted(schema: Schema, least: str, most: str, what: str) -> Iterator[str]:
    low, high = schema.get(least, 0), schema.get(most)
    if high is not None:
        yield f"{low} {what}" if low == high else f"{low} to {high} {what}"


def _found(schema: Schema, name: str) -> Any:
    """A statement of a schema, or else of the first of its options or of its items that makes it."""
    if name in schema:
        return schema[name]
    inner = (*schema.get("anyOf", ()), schema.get("items"), schema.get("additionalProperties"))
    return next((found for each in inner if isinstance(each, Mapping) and (found := _found(each, name))), None)
