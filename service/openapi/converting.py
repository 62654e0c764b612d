"""How this project's fields become JSON Schema, where apispec cannot know."""

from __future__ import annotations

import inspect
from typing import Any

from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from marshmallow import Schema, fields

from service.schemas.bounds import Bounds, Pattern
from service.schemas.fields import LONGEST_NAME, Items, Table
from service.schemas.forms import ByMember, ByType


class Converter(OpenAPIConverter):
    """apispec's converter, with bounds that can exclude their end, values of several forms, and descriptions from docstrings."""

    def init_attribute_functions(self) -> None:
        """Add our own to the functions that make JSON Schema of a field."""
        super().init_attribute_functions()  # type: ignore[no-untyped-call]  # apispec types it in part
        self.attribute_functions += [self.bounds, self.in_words, self.counts, self.forms]

    def field2property(self, field: fields.Field[Any]) -> dict[str, Any]:
        """JSON Schema of a field, what it means first."""
        told: dict[str, Any] = super().field2property(field)
        return {"description": told.pop("description"), **told} if "description" in told else told

    def bounds(self, field: fields.Field[Any], **_told: Any) -> dict[str, Any]:
        """Of numbers: minimum, exclusiveMinimum, maximum."""
        limits = next((check for check in field.validators if isinstance(check, Bounds)), Bounds())
        told = {"minimum": limits.least, "exclusiveMinimum": limits.above, "maximum": limits.most}
        return {name: _plain(value) for name, value in told.items() if value is not None}

    def in_words(self, field: fields.Field[Any], **_told: Any) -> dict[str, Any]:
        """Of texts with a pattern: what it means, as x-form."""
        form = next((check for check in field.validators if isinstance(check, Pattern)), None)
        return {"x-form": form.means} if form else {}

    def counts(self, field: fields.Field[Any], **_told: Any) -> dict[str, Any]:
        """Of lists and tables: how many items, and what they may be called."""
        if isinstance(field, Items):
            return {"maxItems": field.most, **({"minItems": field.least} if field.least else {})}
        if isinstance(field, Table):
            return {
                "maxProperties": field.most,
                "propertyNames": {"pattern": field.names.pattern, "minLength": 1, "maxLength": LONGEST_NAME},
            }
        return {}

    def forms(self, field: fields.Field[Any], **_told: Any) -> dict[str, Any]:
        """Of values that take several forms: each of them, and null when it need not be stated."""
        if not isinstance(field, ByType | ByMember):
            return {}
        options = [self.field2property(option) for option in field.options.values()]
        return {"anyOf": [*options, *([{"type": "null"}] if field.allow_none else [])]}

    def schema2jsonschema(self, schema: Any) -> dict[str, Any]:
        """An object, described by its schema's docstring."""
        told: dict[str, Any] = super().schema2jsonschema(schema)  # type: ignore[no-untyped-call]  # apispec types it in part
        return {"description": inspect.cleandoc(type(_instance(schema)).__doc__ or ""), **told}


class Plugin(MarshmallowPlugin):
    """apispec's plug-in with our converter."""

    Converter = Converter


def component_name(schema: Any) -> str:
    """The name of a schema in the document: its class's, without the word Schema."""
    return type(_instance(schema)).__name__.removesuffix("Schema")


def _instance(schema: Any) -> Schema:
    made: Schema = schema() if isinstance(schema, type) else schema
    return made


def _plain(value: float) -> float | int:
    return int(value) if value == int(value) else value
