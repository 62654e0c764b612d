"""From a document with raw numbers to the bytes that leave: 9 significant digits, no NaN, members in the order given.

The same document gives the same bytes, over HTTP and from the command line alike.
"""

from __future__ import annotations

import math
import numbers
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import msgspec

from rules.subject.faults import BirdsmouthError, pointer
from service.schemas.canonical import sha256

if TYPE_CHECKING:
    from rules.judge.retelling import Steps, Told


@dataclass(eq=False)
class NotFinite(BirdsmouthError):
    """A calculated number is NaN or infinite. Nothing of the document leaves: null in its place would look like an answer."""

    pointer: str

    def __post_init__(self) -> None:
        super().__init__(f"the number at {self.pointer} is not finite")


def encode(document: Mapping[str, Any]) -> bytes:
    """Compact UTF-8 JSON of a document whose numbers may be raw. Raises NotFinite, TypeError for what is no JSON value."""
    return msgspec.json.encode(_rounded_document(document))


def seal(document: Mapping[str, Any]) -> bytes:
    """Encode a document; one with a receipt gets the digest of its own bytes as `receipt.report`, added last."""
    told = getattr(document, "told", None)
    if told is not None and (filled := _filled(told, document.names)) is not None:  # type: ignore[attr-defined]  # a Retold
        return _with_digest(filled)
    rounded = _rounded_document(document)
    if not isinstance(rounded.get("receipt"), dict):
        return msgspec.json.encode(rounded)
    rounded["receipt"].pop("report", None)
    written = msgspec.json.encode(rounded)
    if list(rounded)[-1] == "receipt" and rounded["receipt"]:
        return _with_digest(written)
    rounded["receipt"]["report"] = sha256(written)
    return msgspec.json.encode(rounded)


def _with_digest(written: bytes) -> bytes:
    """Of a document that ends in its receipt: the digest is all that comes before the last brackets."""
    return b"".join((memoryview(written)[:-2], b',"report":"', sha256(written).encode(), b'"}}'))  # a job's is megabytes: copied once


def _filled(told: Told, names: Mapping[Steps, Any]) -> bytes | None:
    """The bytes of a report that is told again: what an earlier one left between the names, and these. None where a text of the design
    reads like a gap."""
    if not told.written:
        told.written.extend(_cut(told.document, names))
    if len(told.written) != len(names) + 1:
        return None
    pieces = [each for pair in zip(told.written, map(msgspec.json.encode, names.values()), strict=False) for each in pair]
    return b"".join([*pieces, told.written[-1]])


def _cut(document: Mapping[str, Any], names: Iterable[Steps]) -> list[bytes]:
    """What is written before, between and after the names."""
    rounded = _rounded_document(document)
    for *steps, last in names:
        place: Any = rounded
        for step in steps:
            place = place[step]
        place[last] = _GAP
    return msgspec.json.encode(rounded).split(msgspec.json.encode(_GAP))


_GAP = "\0"
"""A text that stands where a name is to be filled in."""


def _rounded_document(document: Mapping[str, Any]) -> dict[str, Any]:
    """A copy with every float at 9 significant digits and -0 as 0; what is written already stays as it is.

    Raises NotFinite, and TypeError for what is no JSON value.
    """
    try:
        return _rounded(dict(document))
    except OverflowError:
        raise NotFinite(next(_not_finite(document, ()))) from None


def _rounded(document: dict[str, Any]) -> dict[str, Any]:
    """The copy. Objects and lists wait in line instead of being gone into by a call each, since a report holds thousands of them; the
    same object at several places, such as a step of many workings, is copied once. Raises OverflowError at NaN and infinities."""
    whole = document.copy()
    waiting: list[tuple[Any, Any]] = [(document, whole)]
    copies: dict[int, Any] = {}
    for given, copy in waiting:  # what is in line is kept, so that no other object has its number
        for name, item in _named(given):
            kind = type(item)
            if kind in _AS_THEY_ARE:
                continue
            if kind not in _ROUNDED:
                copy[name] = item = _plain(item)
                kind = type(item)
            if kind is float:
                if item - item != 0.0:  # NaN and infinities
                    raise OverflowError
                copy[name] = float(f"{item:.9g}") + 0.0
            elif kind is dict or kind is list:
                fresh = copies.get(id(item))
                if fresh is None:
                    fresh = copies[id(item)] = item.copy()
                    waiting.append((item, fresh))
                copy[name] = fresh
    return whole


_AS_THEY_ARE = frozenset((str, bool, int, type(None)))
_ROUNDED = frozenset((float, dict, list))


def _named(given: Any) -> Iterable[tuple[Any, Any]]:
    """The items of a list or an object, each with where it stands. Raises TypeError where that is no word."""
    if type(given) is list:
        return enumerate(given)
    try:
        "".join(given)
    except TypeError:
        odd = next(type(name) for name in given if not isinstance(name, str))
        raise TypeError(f"{odd.__name__} cannot name a member") from None
    members: Iterable[tuple[Any, Any]] = given.items()
    return members


def _plain(value: Any) -> Any:
    """What is like a JSON value without being of Python's own type for it: numpy's numbers, words of an enumeration, frozen mappings."""
    if isinstance(value, str | msgspec.Raw):
        return value
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, list | tuple):
        return list(value)
    if isinstance(value, numbers.Integral):
        return int(value)
    if isinstance(value, numbers.Real):
        return float(value)
    raise TypeError(f"{type(value).__name__} is no JSON value")


def _not_finite(value: Any, steps: tuple[str | int, ...]) -> Iterator[str]:
    if isinstance(value, Mapping):
        for name, item in value.items():
            yield from _not_finite(item, (*steps, name))
    elif isinstance(value, list | tuple):
        for place, item in enumerate(value):
            yield from _not_finite(item, (*steps, place))
    elif isinstance(value, numbers.Real) and not math.isfinite(value):
        yield pointer(*steps)
