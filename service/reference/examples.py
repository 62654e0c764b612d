"""An example of any value the contract describes: the one it states, or one put together from the examples of its parts."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

Schema = Mapping[str, Any]
Shapes = Mapping[str, Schema]
DEEPEST = 3
SHOWN = 2
LONGEST = 400
"""Objects within objects that are shown, members of an object none of whose members is required, and the longest example in characters:
what is longer stands under the shape's own name."""
_TO_A_SCHEMA = "#/components/schemas/"


def example(schema: Schema, shapes: Shapes) -> str:
    """As JSON; nothing where the contract gives no hint."""
    found = next(_values(schema, shapes, DEEPEST), None)
    told = "" if found is None else json.dumps(found, ensure_ascii=False)
    return told if len(told) <= LONGEST else ""


def _values(schema: Schema, shapes: Shapes, deep: int) -> Iterator[Any]:
    """Every example there is of a value, the best first; none is null."""
    yield from schema.get("examples", ())
    yield from (word for word in schema.get("enum", ()) if word is not None)
    for inner in schema.get("anyOf", ()):
        yield from _values(inner, shapes, deep)
    if "$ref" in schema:
        yield from _values(shapes.get(str(schema["$ref"]).removeprefix(_TO_A_SCHEMA), {}), shapes, deep)
    yield from _by_kind(schema, shapes, deep)


def _by_kind(schema: Schema, shapes: Shapes, deep: int) -> Iterator[Any]:
    named = schema.get("type", ())
    kinds = (named,) if isinstance(named, str) else named
    if "boolean" in kinds:
        yield True
    if "array" in kinds:
        yield from ([each] for each in _values(schema.get("items") or {}, shapes, deep))
    if "object" in kinds and deep:
        yield from filter(None, [_object(schema, shapes, deep - 1)])
        inner = schema.get("additionalProperties")
        yield from ({"…": each} for each in (_values(inner, shapes, deep) if isinstance(inner, Mapping) else ()))


def _object(schema: Schema, shapes: Shapes, deep: int) -> dict[str, Any]:
    """Its required members, or else the first that have an example."""
    members = schema.get("properties", {})
    names = schema.get("required") or tuple(members)
    told = {name: found for name in names if (found := next(_values(members[name], shapes, deep), None)) is not None}
    return told if schema.get("required") else dict(list(told.items())[:SHOWN])
