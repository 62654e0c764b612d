"""Strict fields: what stands in the JSON is what is taken. "12" is not 12, true is not 1, and null means not stated.

Each field knows its unit, its meaning and an example, for the OpenAPI document, and complains in plain words.
"""

from __future__ import annotations

import datetime
import re
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import Any, ClassVar

from marshmallow import RAISE, Schema, ValidationError, fields

from service.schemas.bounds import IDENTIFIER, PRINTABLE, Bounds, Length, OneOf, Pattern
from service.schemas.complaints import Complaint, UnknownName, against, describe, sentence

LONGEST_NAME = 128
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def about(description: str, example: object = None, unit: str | None = None) -> dict[str, Any]:
    """Metadata of a field, under the names the OpenAPI generator copies."""
    told: dict[str, Any] = {"description": description}
    if example is not None:
        told["examples"] = [example]
    return told | ({"x-unit": unit} if unit else {})


class DocumentSchema(Schema):
    """A closed object: unknown members are refused, with the names there are. `later` holds names a coming release will know."""

    later: ClassVar[Mapping[str, str]] = {}

    class Meta:
        unknown = RAISE

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        names = tuple(field.data_key or name for name, field in self.load_fields.items())
        self.error_messages = {"unknown": UnknownName(names, self.later), "type": _wrong_type("an object", "")}  # type: ignore[dict-item]  # marshmallow hands them back as they are


def _wrong_type(wants: str, extra: str) -> Complaint:
    return Complaint("wrong-type", f"Needed here: {wants}.", wants, f"Give {wants}.{extra}")


class Plain:
    """What every strict field shares: `wants`, in words, and complaints made of it."""

    wants = "a value"
    metadata: Mapping[str, Any]

    def make_error(self, key: str, **_kwargs: Any) -> ValidationError:
        """Marshmallow's hook: required, null and its own type errors become complaints."""
        if key in ("required", "null"):
            told = f" {self.metadata['description']}" if "description" in self.metadata else ""
            return against("required", "This has to be stated; it is missing or null.", self.wants, f"Give {self.wants}.{told}")
        return self.wrong_type(None)

    def wrong_type(self, value: object) -> ValidationError:
        """The complaint that the value is of another JSON type than this field takes."""
        detail = sentence(f"{describe(value)} stands where {self.wants} is needed.")
        return against("wrong-type", detail, self.wants, self._mend(value))

    def _mend(self, value: object) -> str:
        if isinstance(value, str) and isinstance(self, Number | Whole) and re.fullmatch(r"-?[0-9]{1,15}(\.[0-9]{1,15})?", value):
            return f"Write {value} without quotation marks."
        return f"Give {self.wants}."


class _Leaf(Plain):
    """A field of one value: a subclass says in take() what it accepts, and as what."""

    def take(self, value: Any) -> Any:
        """The accepted value; raises ValidationError."""
        raise NotImplementedError

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        return self.take(value)


def _finite(value: object) -> bool:
    """Whether this is a JSON number a float can hold; true and false are not."""
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= sys.float_info.max


class Number(_Leaf, fields.Float):
    """A JSON number, kept as a float; -0 becomes 0."""

    def __init__(self, description: str, example: float | None, unit: str, *, required: bool = False, **bounds: float) -> None:
        limits = [Bounds(unit=unit if unit != "1" else None, **bounds)] if bounds else []
        super().__init__(required=required, allow_none=not required, validate=limits, metadata=about(description, example, unit))
        self.wants = "a number" if unit == "1" else f"a number in {unit}"

    def take(self, value: Any) -> float:
        if not _finite(value):
            raise self.wrong_type(value)
        return float(value) + 0.0


class Whole(_Leaf, fields.Integer):
    """A whole number: 4, or 4.0, which JSON does not tell apart."""

    wants = "a whole number"

    def __init__(self, description: str, example: int, *, least: int, most: int, required: bool = False) -> None:
        limits = [Bounds(least=least, most=most)]
        super().__init__(strict=True, required=required, allow_none=not required, validate=limits, metadata=about(description, example))

    def take(self, value: Any) -> int:
        if not _finite(value) or value != int(value):
            raise self.wrong_type(value)
        return int(value)


class Flag(_Leaf, fields.Boolean):
    """true or false, and nothing that merely looks like it."""

    wants = "true or false"

    def __init__(self, description: str) -> None:
        super().__init__(allow_none=True, metadata=about(description, None))

    def take(self, value: Any) -> bool:
        if not isinstance(value, bool):
            raise self.wrong_type(value)
        return value


class Text(_Leaf, fields.String):
    """A text of bounded length without control characters, direction marks or other letters nobody sees."""

    wants = "a text"

    def __init__(
        self, description: str, example: str | None, *, longest: int = 500, shortest: int = 1, pattern: Pattern | None = None,
        required: bool = False,
    ) -> None:  # fmt: skip
        checks: list[Callable[[str], None]] = [Length(shortest, longest), pattern or PRINTABLE]
        super().__init__(required=required, allow_none=not required, validate=checks, metadata=about(description, example))

    def take(self, value: Any) -> str:
        if not isinstance(value, str):
            raise self.wrong_type(value)
        return value


class Name(Text):
    """What the caller calls something: an id, or a reference to one."""

    def __init__(self, description: str, example: str | None = None, *, longest: int = 64, required: bool = False) -> None:
        super().__init__(description, example, longest=longest, pattern=IDENTIFIER, required=required)


class Word(_Leaf, fields.String):
    """One word of a closed list."""

    def __init__(self, description: str, choices: Sequence[str], *, required: bool = False) -> None:
        told = about(description, choices[0])
        super().__init__(required=required, allow_none=not required, validate=[OneOf(tuple(choices))], metadata=told)
        self.wants = f"the text “{choices[0]}”" if len(choices) == 1 else "one of " + ", ".join(f"“{word}”" for word in choices)

    def take(self, value: Any) -> str:
        if not isinstance(value, str):
            raise self.wrong_type(value)
        return value


class Day(_Leaf, fields.Date):
    """A calendar day, YYYY-MM-DD."""

    wants = "a day as YYYY-MM-DD"

    def __init__(self, description: str, example: str, *, required: bool = False) -> None:
        super().__init__(format="iso", required=required, allow_none=not required, metadata=about(description, example))

    def take(self, value: Any) -> datetime.date:
        if not isinstance(value, str):
            raise self.wrong_type(value)
        try:
            return datetime.date.fromisoformat(value if _DAY.fullmatch(value) else "")
        except ValueError:
            hint = "Write year, month and day as in 2026-11-25."
            raise against("not-a-day", sentence(f"{describe(value)} is not a day."), self.wants, hint) from None


class Items(Plain, fields.List[Any]):
    """A list of `least` to `most` items. The count is looked at first: a list that is too long costs nothing more."""

    def __init__(
        self, inner: fields.Field[Any], description: str, *, most: int, least: int = 0, required: bool = False, example: object = None,
    ) -> None:  # fmt: skip
        inner.required, inner.allow_none = True, False
        super().__init__(inner, required=required, allow_none=not required, metadata=about(description, example))
        self.least, self.most = least, most
        self.wants = f"a list of {least}" if least == most else f"a list of {least} to {most}"

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> list[Any]:
        if not isinstance(value, list):
            raise self.wrong_type(value)
        if not self.least <= len(value) <= self.most:
            raise against("wrong-count", f"The list has {len(value)} items.", self.wants, f"Give {self.wants}.")
        return super()._deserialize(value, attr, data, **kwargs)


class Part(Plain, fields.Nested):
    """An object with a schema of its own."""

    wants = "an object"

    def __init__(self, schema: type[DocumentSchema], description: str = "", *, required: bool = False) -> None:
        super().__init__(schema, required=required, allow_none=not required, metadata=about(description) if description else {})

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, partial: Any = None, **kwargs: Any) -> Any:
        if not isinstance(value, dict):
            raise self.wrong_type(value)
        return super()._deserialize(value, attr, data, partial=partial, **kwargs)


class Table(Plain, fields.Dict):
    """An object whose member names are the caller's: names follow `names`, values follow `values`; at most `most` of them."""

    wants = "an object"

    def __init__(self, names: Pattern, values: fields.Field[Any], description: str, *, most: int, example: object = None) -> None:
        values.required, values.allow_none = True, False
        super().__init__(values=values, allow_none=True, metadata=about(description, example))
        self.names, self.most = names, most

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> dict[str, Any]:
        if not isinstance(value, dict):
            raise self.wrong_type(value)
        if len(value) > self.most:
            raise against("wrong-count", f"The object has {len(value)} members.", f"at most {self.most}", "Leave some out.")
        errors: dict[str, Any] = {}
        accepted = {name: self._item(name, item, errors, data, **kwargs) for name, item in value.items()}
        if errors:
            raise ValidationError(errors)
        return accepted

    def _item(self, name: str, item: Any, errors: dict[str, Any], data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        try:
            Length(1, LONGEST_NAME)(name)
            self.names(name)
            assert self.value_field is not None
            return self.value_field.deserialize(item, name, data, **kwargs)
        except ValidationError as error:
            errors[name] = error.messages
            return None
