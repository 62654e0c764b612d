"""JSON Schemas of a pack's files, made from the shapes that check them, so that editors complete and explain what stands there.

Draft 7, which is what editors' YAML support reads. They say what one file may hold; what holds between fields, between files and inside
expressions is for `packs lint` to say.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from marshmallow import Schema, fields, validate

from rules.library import shape_fields as own
from rules.library.facts import BY_SCOPE
from rules.library.pack_schemas import CaseShape, ClauseShape, DeclaredShape, MaterialsShape, PackShape, ValueShape
from rules.library.pack_words import MEANS
from rules.library.rule import Scope

Document = dict[str, Any]

DRAFT = "http://json-schema.org/draft-07/schema#"
SHAPES: Mapping[str, tuple[str, type[Schema], bool]] = {
    "pack": ("pack.yaml", PackShape, False),
    "values": ("values.yaml", ValueShape, True),
    "materials": ("materials.yaml", MaterialsShape, False),
    "declared": ("declared/<rule>.yaml", DeclaredShape, False),
    "clauses": ("clauses.yaml", ClauseShape, True),
    "cases": ("formulas/<rule>.cases.yaml", CaseShape, True),
}
"""Name of each schema: the file it is for, the shape, and whether the file is a list of such."""


def json_schema(name: str) -> Document:
    """The schema of one kind of pack file. Raises KeyError."""
    file, shape, listed = SHAPES[name]
    whole = _object(shape())
    described = {"description": f"{file} of a rule pack. {whole.pop('description')}"}
    if listed:
        return {"$schema": DRAFT, "title": file, **described, "type": "array", "items": whole}
    return {"$schema": DRAFT, "title": file, **described, **whole}


def written(name: str) -> str:
    """The schema as the text of a file."""
    return json.dumps(json_schema(name), indent=1, ensure_ascii=False) + "\n"


def schema_of(file: str) -> str | None:
    """The name of the schema of a pack's file; None for a file that has none."""
    if file.startswith("declared/"):
        return "declared"
    if file.endswith(".cases.yaml"):
        return "cases"
    stem = file.removesuffix(".yaml")
    return stem if stem in SHAPES and file.endswith(".yaml") else None


def _object(shape: Schema) -> Document:
    told = {name: _field(shape, name, field) for name, field in shape.fields.items()}
    required = [name for name, field in shape.fields.items() if field.required]
    return {
        "description": " ".join((type(shape).__doc__ or "").split()),
        "type": "object",
        "additionalProperties": False,
        "properties": told,
        **({"required": required} if required else {}),
    }


def _field(shape: Schema, name: str, field: fields.Field[Any]) -> Document:
    means = MEANS.get((type(shape).__name__, name), "")
    told = _kind(field)
    if shape.__class__ is DeclaredShape and name == "demand":
        told = {**told, "examples": [fact.name for fact in BY_SCOPE[Scope.MEMBER] if fact.kind == "double"][:3]}
    return {**({"description": means} if means else {}), **told}


def _kind(field: fields.Field[Any]) -> Document:
    told = {**_type(field), **_limits(field)}
    if not field.allow_none:
        return told
    return {"anyOf": [told, {"type": "null"}]}


def _type(field: fields.Field[Any]) -> Document:
    if isinstance(field, fields.Nested):
        return _object(field.schema)
    if isinstance(field, fields.List):
        return {"type": "array", "items": _kind(field.inner)}
    if isinstance(field, fields.Dict):
        keys = _kind(field.key_field) if field.key_field else {}
        inner = _kind(field.value_field) if field.value_field else {}
        return {
            "type": "object",
            "propertyNames": {name: told for name, told in keys.items() if name != "type"},
            "additionalProperties": inner,
        }
    return next(dict(told()) for kind, told in _TYPES if isinstance(field, kind))


_TEXT: Document = {"type": "string", "pattern": r"\S"}
_KEY: Document = {
    "anyOf": [
        {"type": "string", "minLength": 1},
        {"type": "number"},
        {
            "type": "object",
            "description": "above < x <= up_to",
            "properties": {"above": {"type": "number"}, "up_to": {"type": "number"}},
            "additionalProperties": False,
            "minProperties": 1,
        },
    ]
}
_ROW: Document = {
    "type": "array",
    "minItems": 2,
    "items": {"anyOf": [*_KEY["anyOf"], {"type": "array", "items": _KEY, "minItems": 1}]},
}

_TYPES: tuple[tuple[type[fields.Field[Any]], Callable[[], Document]], ...] = (
    (own.Formula, lambda: {"anyOf": [_TEXT, {"type": "number"}]}),
    (own.Text, lambda: dict(_TEXT)),
    (own.Number, lambda: {"type": "number"}),
    (own.Yes, lambda: {"type": "boolean"}),
    (own.Day, lambda: {"type": "string", "format": "date"}),
    (own.Result, lambda: {"anyOf": [{"type": "number"}, {"type": "string", "minLength": 1}]}),
    (own.Scalar, lambda: {"type": ["number", "string", "boolean"]}),
    (own.Row, lambda: dict(_ROW)),
    (fields.String, lambda: {"type": "string"}),
)


def _limits(field: fields.Field[Any]) -> Document:
    told: Document = {}
    for check in field.validators:
        if isinstance(check, validate.OneOf):
            told["enum"] = list(check.choices)
        elif isinstance(check, validate.Regexp):
            told["pattern"] = check.regex.pattern
        elif isinstance(check, validate.Length):
            told |= _length(check, listed=isinstance(field, fields.List))
        elif isinstance(check, validate.Range):
            told["minimum" if check.min_inclusive else "exclusiveMinimum"] = check.min
    return told


def _length(check: validate.Length, *, listed: bool) -> Document:
    least, most = ("minItems", "maxItems") if listed else ("minLength", "maxLength")
    return {name: size for name, size in ((least, check.min), (most, check.max)) if size is not None}
