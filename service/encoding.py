"""From a document with raw numbers to the bytes that leave: 9 significant digits, no NaN, members in the order given.

The same document gives the same bytes, over HTTP and from the command line alike.
"""

from __future__ import annotations

import math
import numbers
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import msgspec

from rules.subject.faults import BirdsmouthError, pointer
from service.schemas.canonical import sha256

if TYPE_CHECKING:
    from rules.judge.retelling import Retold


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
    if hasattr(document, "told") and (filled := _filled(document)) is not None:  # type: ignore[arg-type]  # a Retold
        return _with_digest(filled)
    rounded = _rounded_document(document)
    if not isinstance(rounded.get("receipt"), dict):
        return msgspec.json.encode(rounded)
    receipt = rounded["receipt"] = {name: said for name, said in rounded["receipt"].items() if name != "report"}
    written = msgspec.json.encode(rounded)
    if list(rounded)[-1] == "receipt" and receipt:
        return _with_digest(written)
    receipt["report"] = sha256(written)
    return msgspec.json.encode(rounded)


def _with_digest(written: bytes) -> bytes:
    """Of a document that ends in its receipt: the digest is all that comes before the last brackets."""
    return b"".join((memoryview(written)[:-2], b',"report":"', sha256(written).encode(), b'"}}'))  # a job's is megabytes: copied once


def _filled(again: Retold) -> bytes | None:
    """The bytes of a report that is told again: what an earlier one left between the names, and these. None where a text of the design
    reads like a gap."""
    written = again.told.written
    if not written:
        gaps = msgspec.json.encode(_rounded_document(again.called(dict.fromkeys(again.names, _GAP))))
        written.extend(gaps.split(msgspec.json.encode(_GAP)))
    if len(written) != len(again.names) + 1:
        return None
    pieces = [each for pair in zip(written, map(msgspec.json.encode, again.names.values()), strict=False) for each in pair]
    return b"".join([*pieces, written[-1]])


_GAP = "\0"
"""A text that stands where a name is to be filled in."""


def _rounded_document(document: Mapping[str, Any]) -> dict[str, Any]:
    """The document with every float at 9 significant digits and -0 as 0; what is written already stays as it is.

    It is one of its own, but for those parts in which nothing changes: they are to be read only. Raises NotFinite, and TypeError for what
    is no JSON value.
    """
    names: set[Any] = set()
    try:
        rounded: dict[str, Any] = _rounded(dict(document), _Numbers(), names, {})
    except OverflowError:
        raise NotFinite(next(_not_finite(document, ()))) from None
    for name in names:
        if not isinstance(name, str):
            raise TypeError(f"{type(name).__name__} cannot name a member")
    return rounded


class _Numbers(dict[float, float]):
    """Every number met and what it is rounded to: a report says most of its numbers several times over. Raises OverflowError at NaN and
    infinities."""

    def __missing__(self, number: float) -> float:
        if number - number != 0.0:
            raise OverflowError
        self[number] = rounded = float(f"{number:.9g}") + 0.0
        return rounded


def _rounded(part: Any, numbers: _Numbers, names: set[Any], known: dict[int, Any]) -> Any:
    """An object or list, itself where nothing in it changes and else a copy; the names of all members are put among those met.

    A report holds thousands of parts, most of them words: what is met most often is asked after first. known: what became of parts, by
    their identity, since the same step stands in many workings.
    """
    items: Any = enumerate(part)
    if type(part) is dict:
        items = part.items()
        names.update(part)
    copy = None
    for name, item in items:
        kind = type(item)
        if kind is str or item is None:
            continue
        if kind is float:
            fresh: Any = numbers[item]
            if fresh == item != 0.0:
                continue
        elif kind is dict or kind is list:
            fresh = known.get(id(item))
            if fresh is None:
                fresh = known[id(item)] = _rounded(item, numbers, names, known)
        else:
            fresh = item if kind is int or kind is bool else _made_plain(item, numbers, names)
        if fresh is not item:
            copy = part.copy() if copy is None else copy
            copy[name] = fresh
    return part if copy is None else copy


def _made_plain(value: Any, numbers: _Numbers, names: set[Any]) -> Any:
    """What is like a JSON value without being of Python's own type for it, rounded. What is made for it is let go, so it is not among what
    is known."""
    plain = _plain(value)
    return _rounded([plain], numbers, names, {})[0] if isinstance(plain, float | dict | list) else plain


def _plain(value: Any) -> Any:
    """Of numpy's numbers, words of an enumeration, frozen mappings and their like what Python has for JSON."""
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
