"""Fields that take one of several forms: which one is meant is seen before any is tried, so that complaints are about that one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from marshmallow import Schema, fields

from service.schemas.complaints import against
from service.schemas.fields import DocumentSchema, Part, Plain, about


class _Choice(Plain, fields.Field[Any]):
    """A value that takes one of several forms. Each option is a field; which one is meant is seen before any is tried."""

    options: Mapping[str, fields.Field[Any]]

    def _bind_to_schema(self, field_name: str, parent: Schema | fields.Field[Any]) -> None:
        super()._bind_to_schema(field_name, parent)
        for option in self.options.values():
            option.required, option.allow_none = True, False
            option._bind_to_schema(field_name, self)


class ByType(_Choice):
    """The JSON type says which form is meant: a word or a number, a word or an object."""

    def __init__(
        self, description: str, *, text: fields.Field[Any] | None = None, number: fields.Field[Any] | None = None,
        part: fields.Field[Any] | None = None, items: fields.Field[Any] | None = None, required: bool = False,
    ) -> None:  # fmt: skip
        super().__init__(required=required, allow_none=not required, metadata=about(description))
        given = {"text": text, "number": number, "part": part, "items": items}
        self.options = {kind: option for kind, option in given.items() if option is not None}
        self.wants = " or ".join(str(getattr(option, "wants", "a value")) for option in self.options.values())

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        option = self.options.get(_json_kind(value))
        if option is None:
            raise self.wrong_type(value)
        return option.deserialize(value, attr, data, **kwargs)


def _json_kind(value: object) -> str:
    if isinstance(value, bool) or value is None:
        return "other"
    kinds = ((str, "text"), (int | float, "number"), (dict, "part"), (list, "items"))
    return next(kind for types_, kind in kinds if isinstance(value, types_))


Forms = Mapping[str, tuple[tuple[str, ...], type[DocumentSchema]]]


class ByMember(_Choice):
    """The members of the object say which form is meant: the first form that has one of its telling members stated.

    forms: name of the form → (telling members, its schema).
    """

    wants = "an object"

    def __init__(self, description: str, forms: Forms, *, required: bool = False) -> None:
        super().__init__(required=required, allow_none=not required, metadata=about(description))
        self.telling = {form: members for form, (members, _) in forms.items()}
        self.options = {form: Part(schema, required=True) for form, (_, schema) in forms.items()}

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        if not isinstance(value, dict):
            raise self.wrong_type(value)
        for form, members in self.telling.items():
            if any(value.get(member) is not None for member in members):
                return self.options[form].deserialize(value, attr, data, **kwargs)
        allowed = {form: list(members) for form, members in self.telling.items()}
        raise against("unclear-form", "None of the fields is stated that would say what this is.", allowed, "State one of them.")
