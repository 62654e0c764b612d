"""A fast way in for documents that are right: structs compiled from the schemas, which read, check and convert in one pass.

Whatever they take the schemas take too, with an equal result; whatever they doubt goes to the schemas, which say what is wrong with it.
So nothing here explains anything, and a field or validator that is not known here is simply never taken.

Doubted besides are documents in which a byte may mean what the structs do not see: a backslash (half a character, a name written in
two ways), -0, and a member name that stands twice, which is found by counting colons: written out again the document has as many.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal, Union

import msgspec
from marshmallow import Schema, fields
from msgspec import UNSET, Meta, UnsetType

from service.limits import LIMITS
from service.schemas.bounds import Bounds, Length, OneOf, Pattern
from service.schemas.canonical import stated
from service.schemas.design import DesignSchema
from service.schemas.fields import LONGEST_NAME, Day, DocumentSchema, Flag, Items, Name, Number, Part, Table, Text, Whole, Word
from service.schemas.forms import ByMember, ByType

_DAYS = (datetime.date,)
_NOTHING_BELOW = re.compile(rb"-(?:(?<![0-9eE]-)0(?!\.[0-9]{0,9}[1-9])|(?<=[eE]-)[0-9]{3})")
"""What may be read as -0, which the schemas make 0. It begins with a letter that is always there, since such are found ten times sooner."""
_EMPTY = re.compile(rb"\{\s*\}")
_NEVER = Literal["\x00"]
"""A type nothing has: its field is never taken here."""


def passed(body: bytes) -> Mapping[str, Any] | None:
    """The accepted values of a design document, as service.schemas.loading.validate gives them; None when there is any doubt."""
    if b"\\" in body or _NOTHING_BELOW.search(body) or body.count(b",") + body.count(b"[") + body.count(b"{") >= LIMITS.values:
        return None
    decoder, encoder = _tools()
    try:
        document = decoder.decode(body)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
        return None
    if encoder.encode(document).count(b":") != body.count(b":"):
        return None
    accepted: Mapping[str, Any] = msgspec.to_builtins(document, builtin_types=_DAYS)
    return stated(accepted) if b"null" in body or _EMPTY.search(body) else accepted


@cache
def _tools() -> tuple[msgspec.json.Decoder[Any], msgspec.json.Encoder]:
    return msgspec.json.Decoder(_struct(DesignSchema), strict=True), msgspec.json.Encoder()


@cache
def _struct(schema: type[DocumentSchema]) -> type[msgspec.Struct]:
    """The struct that takes what a schema takes."""
    return _of_fields(schema.__name__, _kept(schema), {})


def _kept(schema: type[Schema]) -> dict[str, fields.Field[Any]]:
    made = schema()
    return {field.data_key or name: field for name, field in made.load_fields.items()}


def _of_fields(name: str, kept: Mapping[str, fields.Field[Any]], namespace: dict[str, Any]) -> type[msgspec.Struct]:
    told = [_told(at, field) for at, field in enumerate(kept.values())]
    return msgspec.defstruct(
        name, told, kw_only=True, forbid_unknown_fields=True, namespace=namespace, gc=False, rename={f"f{at}": each for at, each in enumerate(kept)},
    )  # fmt: skip


def _told(at: int, field: fields.Field[Any]) -> Any:
    """A field of a struct: its name here, its type, and that it may be absent."""
    type_ = _type(field)
    if field.required:
        return f"f{at}", type_
    return f"f{at}", type_ | None | UnsetType if field.allow_none else type_ | UnsetType, UNSET


def _type(field: fields.Field[Any]) -> Any:
    make = _TYPES.get(type(field))
    return make(field) if make else _NEVER


def _number(field: Number | Whole) -> Any:
    (bounds,) = field.validators or [Bounds()]
    if not isinstance(bounds, Bounds):
        return _NEVER
    given: dict[str, Any] = {"ge": bounds.least, "gt": bounds.above, "le": bounds.most}
    return Annotated[
        float if isinstance(field, Number) else int, Meta(**{word: value for word, value in given.items() if value is not None})
    ]


def _text(field: Text) -> Any:
    length, pattern = field.validators
    if not (isinstance(length, Length) and isinstance(pattern, Pattern)):
        return _NEVER
    return Annotated[str, Meta(min_length=length.min, max_length=length.max, pattern=_whole(pattern))]


def _whole(pattern: Pattern) -> str:
    """The expression for a search that finds only what the pattern matches as a whole."""
    return rf"\A(?:{pattern.pattern})\Z"


def _word(field: Word) -> Any:
    (words,) = field.validators
    return Literal[words.choices] if isinstance(words, OneOf) else _NEVER


def _items(field: Items) -> Any:
    return Annotated[list[_type(field.inner)], Meta(min_length=field.least, max_length=field.most)]  # type: ignore[misc]  # a type made here


def _table(field: Table) -> Any:
    names = Annotated[str, Meta(min_length=1, max_length=LONGEST_NAME, pattern=_whole(field.names))]
    assert field.value_field is not None
    return Annotated[dict[names, _type(field.value_field)], Meta(max_length=field.most)]  # type: ignore[misc]  # types made here


def _by_type(field: ByType) -> Any:
    return Union[tuple(_type(option) for option in field.options.values())]  # noqa: UP007  the parts are known only here


def _part(field: Part) -> Any:
    schema = field.schema
    return _NEVER if any(type(schema)._hooks.values()) else _struct(type(schema))


@dataclass(frozen=True, slots=True)
class _Form:
    """One form of a ByMember: where its telling fields, its required ones and those of other forms stand among all."""

    telling: tuple[str, ...]
    required: tuple[str, ...]
    others: tuple[str, ...]


def _by_member(field: ByMember) -> Any:
    """One struct with the fields of all forms, which looks after itself: the stated ones have to be of one form, and enough."""
    kept = {form: _kept(type(option.schema)) for form, option in field.options.items() if isinstance(option, Part)}
    every = {name: each for fields_ in kept.values() for name, each in fields_.items()}
    if any(_type(each) != _type(every[name]) for fields_ in kept.values() for name, each in fields_.items()):
        return _NEVER
    at = {name: f"f{place}" for place, name in enumerate(every)}
    forms = tuple(
        _Form(
            tuple(at[name] for name in field.telling[form]), tuple(at[name] for name, each in fields_.items() if each.required),
            tuple(at[name] for name in every if name not in fields_),
        )
        for form, fields_ in kept.items()
    )  # fmt: skip
    loose = {name: _loosened(each) for name, each in every.items()}
    return _of_fields("Or".join(kept), loose, {"__post_init__": _check(forms)})


def _loosened(field: fields.Field[Any]) -> fields.Field[Any]:
    """The field as one that need not be there: what a form requires is looked at when all is read."""
    field.required, field.allow_none = False, True
    return field


def _check(forms: tuple[_Form, ...]) -> Callable[[msgspec.Struct], None]:
    nothing = (UNSET, None)

    def check(self: msgspec.Struct) -> None:
        for form in forms:
            if any(getattr(self, name) not in nothing for name in form.telling):
                lacks = any(getattr(self, name) in nothing for name in form.required)
                if lacks or any(getattr(self, name) is not UNSET for name in form.others):
                    raise ValueError
                return
        raise ValueError

    return check


_TYPES: Mapping[type, Callable[[Any], Any]] = {
    Number: _number, Whole: _number, Text: _text, Name: _text, Word: _word, Flag: lambda _: bool, Day: lambda _: datetime.date, Items: _items,
    Part: _part, Table: _table, ByType: _by_type, ByMember: _by_member,
}  # fmt: skip
"""What each kind of field compiles to. A kind that is not here is never taken."""
