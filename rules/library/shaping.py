"""Holding a file against its shape: everything wrong with it becomes a fault at its line."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from typing import Any

from marshmallow import Schema, fields
from marshmallow.exceptions import ValidationError

from rules.library.yaml_source import Path, Source


def shaped(source: Source, schema: Schema, path: Path = ()) -> Any | None:
    """The part of the file at this path, checked; None when anything is wrong with it (the faults are then in source)."""
    part = source.data
    for step in path:
        part = part[step]
    if not isinstance(part, dict):
        source.fault(path, "a list of `key: value` lines is needed here")
        return None
    try:
        return schema.load(part)
    except ValidationError as error:
        for where, message in _flat(error.messages_dict):
            _say(source, schema, (*path, *where), message)
        return None


def _flat(messages: Any, path: Path = ()) -> Iterator[tuple[Path, str]]:
    if isinstance(messages, dict):
        for key, inner in messages.items():
            unnamed = key == "_schema" or (path and key in ("key", "value"))
            yield from _flat(inner, path if unnamed else (*path, key))
    else:
        for message in messages if isinstance(messages, list) else [messages]:
            yield path, str(message)


def _say(source: Source, schema: Schema, path: Path, message: str) -> None:
    if path in source.unread:
        return
    if message == "Unknown field.":
        source.fault(path, f"`{path[-1]}` is not known here", _near(str(path[-1]), _allowed(schema, path)), at_key=True)
    elif message == "Missing data for required field.":
        source.fault(path[:-1], f"`{path[-1]}` is missing")
    elif message == "Field may not be null.":
        source.fault(path, "this is empty")
    else:
        source.fault(path, message)


def _allowed(schema: Schema, path: Path) -> list[str]:
    """Keys known beside the last step of the path."""
    for step in path:
        field: Any = schema.fields.get(str(step)) if isinstance(step, str) else None
        while isinstance(field, (fields.List, fields.Dict)):
            field = field.inner if isinstance(field, fields.List) else field.value_field
        schema = field.schema if isinstance(field, fields.Nested) else schema
    return list(schema.fields)


def _near(word: str, known: list[str]) -> str:
    close = difflib.get_close_matches(word, known, n=1)
    return f"did you mean `{close[0]}`?" if close else "known: " + ", ".join(known)
