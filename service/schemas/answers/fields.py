"""Fields of answers: required unless said otherwise, null only where said."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from marshmallow import INCLUDE, Schema, fields, validate

from service.schemas.fields import about


class AnswerSchema(Schema):
    """An open object: later releases may add members."""

    class Meta:
        unknown = INCLUDE


def text(description: str, example: str | None = None, *, nullable: bool = False, required: bool = True) -> fields.String:
    """A text."""
    return fields.String(required=required, allow_none=nullable, metadata=about(description, example))


def word(description: str, choices: Sequence[str], *, nullable: bool = False) -> fields.String:
    """One word of a closed list."""
    return fields.String(required=True, allow_none=nullable, validate=validate.OneOf(choices), metadata=about(description))


def number(description: str, unit: str, *, nullable: bool = False, required: bool = True) -> fields.Float:
    """A number with 9 significant digits."""
    return fields.Float(required=required, allow_none=nullable, metadata=about(description, unit=unit))


def whole(description: str, *, nullable: bool = False, required: bool = True) -> fields.Integer:
    """A whole number."""
    return fields.Integer(required=required, strict=True, allow_none=nullable, metadata=about(description))


def flag(description: str) -> fields.Boolean:
    """true or false."""
    return fields.Boolean(required=True, metadata=about(description))


def anything(description: str, *, required: bool = True) -> fields.Raw:
    """Any JSON value."""
    return fields.Raw(required=required, allow_none=True, metadata=about(description))


def one(schema: type[AnswerSchema], description: str, *, nullable: bool = False, required: bool = True) -> fields.Nested:
    """An object."""
    return fields.Nested(schema, required=required, allow_none=nullable, metadata=about(description))


def many(schema: type[AnswerSchema], description: str, *, required: bool = True) -> fields.List[Any]:
    """A list of objects."""
    return fields.List(fields.Nested(schema), required=required, metadata=about(description))


def texts(description: str) -> fields.List[Any]:
    """A list of texts."""
    return fields.List(fields.String(), required=True, metadata=about(description))


def table(description: str, values: fields.Field[Any] | None = None, *, required: bool = True) -> fields.Dict:
    """An object with names of its own."""
    return fields.Dict(values=values, required=required, metadata=about(description))
