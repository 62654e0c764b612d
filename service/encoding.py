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
    from rules.judge.retelling import Parts


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
    rounded = _rounded_document(document)
    if not isinstance(rounded.get("receipt"), dict):
        return msgspec.json.encode(rounded)
    rounded["receipt"].pop("report", None)
    written = msgspec.json.encode(rounded)
    rounded["receipt"]["report"] = sha256(written)
    if list(rounded)[-1] == "receipt" and len(rounded["receipt"]) > 1:  # then the digest is all that comes before the last brackets
        return b'%b,"report":%b}}' % (written[:-2], msgspec.json.encode(rounded["receipt"]["report"]))
    return msgspec.json.encode(rounded)


def _rounded_document(document: Mapping[str, Any]) -> dict[str, Any]:
    parts = getattr(document, "parts", None)
    rounding = _Rounding() if parts is None else _RoundingParts(parts)
    try:
        return {name: rounding.of(value) for name, value in document.items()}
    except OverflowError:
        raise NotFinite(next(_not_finite(document, ()))) from None


class _Rounding:
    """The rounding of one document. The same object in several lists, such as a step of many workings, is rounded once."""

    def __init__(self) -> None:
        self._met: dict[int, tuple[Any, Any]] = {}

    def of(self, value: Any) -> Any:
        """The value with every float at 9 significant digits and -0 as 0; what is written already stays as it is.

        Raises OverflowError at NaN and infinities, TypeError for what is no JSON value.
        """
        kind = type(value)
        if kind is float:
            return _nine_digits(value)
        if kind is dict:
            _check_names(value)
            return {
                name: item if (like := type(item)) in _AS_THEY_ARE else _nine_digits(item) if like is float else self.of(item)
                for name, item in value.items()
            }
        if kind is list or kind is tuple:
            return [item if (like := type(item)) in _AS_THEY_ARE else self._once(item) if like is dict else self.of(item) for item in value]
        return self._of_another_type(value)

    def _once(self, item: dict[Any, Any]) -> Any:
        if (met := self._met.get(id(item))) is not None:
            return met[1]
        rounded = self.of(item)
        self._met[id(item)] = (item, rounded)  # as long as the object is kept, no other has its number
        return rounded

    def _of_another_type(self, value: Any) -> Any:
        """What is like a JSON value without being of Python's own type for it: numpy's numbers, words of an enumeration, frozen mappings."""
        if value is None or isinstance(value, str | bool | msgspec.Raw):
            return value
        if isinstance(value, Mapping):
            return self.of(dict(value))
        if isinstance(value, list | tuple):
            return self.of(list(value))
        if isinstance(value, numbers.Integral):
            return int(value)
        if isinstance(value, numbers.Real):
            return _nine_digits(float(value))
        raise TypeError(f"{type(value).__name__} is no JSON value")


class _RoundingParts(_Rounding):
    """The rounding of a document that shares parts with others: each of these is written once for all of them."""

    def __init__(self, parts: Parts) -> None:
        super().__init__()
        self._held, self._written = parts.held, parts.written

    def of(self, value: Any) -> Any:
        before = getattr(value, "before", None)
        return self._part(value) if before is None else self._named(value["id"], before)

    def _named(self, name: str, before: Mapping[str, Any]) -> msgspec.Raw:
        """A finding that an earlier report has under another id, which is its first member."""
        rest = self._written.get((id(before), "rest"))
        if rest is None:
            written = msgspec.json.encode(super().of({member: value for member, value in before.items() if member != "id"}))
            rest = self._written[(id(before), "rest")] = written[1:]
        return msgspec.Raw(b'{"id":%b,%b' % (msgspec.json.encode(name), rest))

    def _part(self, value: Any) -> Any:
        written = self._written.get(id(value))
        if written is not None:
            return written
        if id(value) not in self._held:
            return super().of(value)
        written = self._written[id(value)] = msgspec.Raw(msgspec.json.encode(super().of(value)))
        return written


_AS_THEY_ARE = frozenset((str, bool, int, type(None)))


def _nine_digits(value: float) -> float:
    if value - value != 0.0:  # NaN and infinities
        raise OverflowError
    return float(f"{value:.9g}") + 0.0


def _check_names(members: dict[Any, Any]) -> None:
    """Refuse what is not a word as the name of a member."""
    try:
        "".join(members)
    except TypeError:
        odd = next(type(name) for name in members if not isinstance(name, str))
        raise TypeError(f"{odd.__name__} cannot name a member") from None


def _not_finite(value: Any, steps: tuple[str | int, ...]) -> Iterator[str]:
    if isinstance(value, Mapping):
        for name, item in value.items():
            yield from _not_finite(item, (*steps, name))
    elif isinstance(value, list | tuple):
        for place, item in enumerate(value):
            yield from _not_finite(item, (*steps, place))
    elif isinstance(value, numbers.Real) and not math.isfinite(value):
        yield pointer(*steps)
