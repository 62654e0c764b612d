"""Bytes to JSON values, strictly: one document, one meaning, or a refusal that says where.

The standard parser takes NaN, lets the last of two equal names win, and reads 1e400 as infinity. In a design each of those
is a wrong answer that looks right, so each is refused here, all of them at once, with its JSON pointer.
"""

from __future__ import annotations

import json
import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from rules.subject.faults import BirdsmouthError, Fault, pointer
from service.limits import LIMITS

Json = object
"""None, bool, int, float, str, list or dict of these: what a JSON text can say."""

_BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_LONGEST_WHOLE_NUMBER = 300
_PARTS = (dict, list)
_PLAIN = {dict, list, str, int, float, bool, type(None)}


@dataclass(eq=False)
class BodyRefused(BirdsmouthError):
    """The bytes are not a readable JSON document. status: 400, or 413 when there are too many; faults: at least one."""

    status: int
    faults: tuple[Fault, ...]

    def __post_init__(self) -> None:
        super().__init__(f"unreadable body: {self.faults[0].detail}")


@dataclass(frozen=True, slots=True)
class _OutOfRange:
    """Stands where a number stood that no computer number can hold, or a word such as NaN."""

    written: str


class _Repeating(dict[str, Json]):
    """An object that gave some member names more than once."""

    repeated: tuple[str, ...] = ()


def read(body: bytes, *, largest: int = LIMITS.body_bytes, values: int = LIMITS.values) -> Json:
    """Read one JSON document. values: how many numbers, texts, lists and objects it may hold.

    Raises BodyRefused: 413 above `largest` bytes; 400 when it is empty, not UTF-8, begins with a byte-order mark, is not JSON,
    is nested deeper than 64, repeats a member name, or holds NaN, an infinity, a number out of range or half a character.
    """
    if len(body) > largest:
        raise BodyRefused(413, (_too_large(len(body), largest),))
    text = _text(body)
    document = _parse(text)
    if "\\u" in text or not _plain(document, values):
        faults = tuple(islice(_oddities(document, values), LIMITS.faults_counted))
        if faults:
            raise BodyRefused(400, faults)
    return document


def _text(body: bytes) -> str:
    if body.startswith(_BYTE_ORDER_MARK):
        raise _refusal("byte-order-mark", "The body begins with a byte-order mark.", hint="Save the file as UTF-8 without a mark.")
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        detail = f"The body is not UTF-8: byte {error.start} (0x{body[error.start]:02x}) cannot stand there."
        raise _refusal("not-utf-8", detail, allowed="UTF-8", hint="Save the file as UTF-8.") from None
    if not text.strip(" \t\r\n"):
        raise _refusal("empty-body", "The body is empty.", hint="Send one design document as JSON.")
    return text


def _parse(text: str) -> Json:
    try:
        return json.loads(text, object_pairs_hook=_object, parse_constant=_OutOfRange, parse_float=_decimal, parse_int=_whole)
    except json.JSONDecodeError as error:
        said = error.msg.removesuffix(" at")
        detail = f"This is not JSON: {said} at line {error.lineno}, column {error.colno}."
        raise _refusal("not-json", detail, hint="Look at that place, and just before it, for a missing comma, quote or bracket.") from None
    except RecursionError:
        raise BodyRefused(400, (_too_deep(),)) from None


def _object(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    plain = dict(pairs)
    if len(plain) == len(pairs):
        return plain
    marked = _Repeating(plain)
    marked.repeated = tuple(name for name, times in Counter(name for name, _ in pairs).items() if times > 1)
    return marked


def _decimal(written: str) -> float | _OutOfRange:
    value = float(written)
    return value if math.isfinite(value) else _OutOfRange(written)


def _whole(written: str) -> int | _OutOfRange:
    return int(written) if len(written) <= _LONGEST_WHOLE_NUMBER else _OutOfRange(written)


def _plain(document: Json, values: int) -> bool:
    """A quick look, level by level, at how deep, how many and of what types the values are: True when nothing can be odd but letters."""
    level, seen = [document], 1
    for depth in range(LIMITS.depth + 1):
        types = set(map(type, level))
        if not types <= _PLAIN or seen > values or (depth == LIMITS.depth and types & {dict, list}):
            return False
        level = [child for value in level if isinstance(value, _PARTS) for child in (value.values() if isinstance(value, dict) else value)]
        seen += len(level)
    return True


def _oddities(document: Json, values: int) -> Iterator[Fault]:
    """Every fault of the tree, in document order. A stack, not recursion: the depth is the sender's to choose.

    Values are counted too: explaining what is wrong with one costs fifty times what reading it does.
    """
    waiting: list[tuple[tuple[str | int, ...], Json]] = [((), document)]
    seen = 0
    while waiting:
        steps, value = waiting.pop()
        seen += 1
        if seen > values:
            raise BodyRefused(413, (_too_many(values),))
        if isinstance(value, dict | list) and len(steps) >= LIMITS.depth:
            yield _too_deep(*steps)
            continue
        yield from _faults_of(steps, value)
        waiting.extend(reversed([((*steps, step), child) for step, child in _children(value)]))


def _children(value: Json) -> Iterator[tuple[str | int, Json]]:
    if isinstance(value, dict):
        yield from value.items()
    elif isinstance(value, list):
        yield from enumerate(value)


def _faults_of(steps: tuple[str | int, ...], value: Json) -> Iterator[Fault]:
    if isinstance(value, _OutOfRange):
        yield _not_a_number(steps, value.written)
    elif isinstance(value, str) and not _whole_characters(value):
        yield _half_character(steps)
    elif isinstance(value, dict):
        if not all(map(_whole_characters, value)):
            yield _half_character(steps)
        for name in getattr(value, "repeated", ()):
            yield Fault(
                pointer(*steps, name), "repeated-name", f"The name {_shown(name)} stands more than once in one object.",
                hint="Keep the one that is meant: which of them would count is anybody's guess.",
            )  # fmt: skip


def _whole_characters(text: str) -> bool:
    return text.isascii() or not any("\ud800" <= letter <= "\udfff" for letter in text)


def _half_character(steps: tuple[str | int, ...]) -> Fault:
    at = pointer(*steps).encode("utf-8", "replace").decode("utf-8")
    return Fault(at, "half-character", "A text holds half of a surrogate pair, which is no character.", hint="Write the character itself.")


def _not_a_number(steps: tuple[str | int, ...], written: str) -> Fault:
    found = written if len(written) <= 40 else written[:40] + "…"
    detail = f"{found} is not a number that can be calculated with."
    return Fault(pointer(*steps), "not-finite", detail, found, "a finite number", "Leave the field out if it is not known.")


def _too_large(size: int, largest: int) -> Fault:
    hint = "Send one component a request, and leave out what is not asked for."
    return Fault("", "too-large", f"The body is larger than {largest} bytes.", found=size, allowed=largest, hint=hint)


def _too_deep(*steps: str | int) -> Fault:
    detail, hint = f"Brackets stand inside brackets more than {LIMITS.depth} deep.", "A design needs fewer than ten levels."
    return Fault(pointer(*steps), "too-deep", detail, allowed=LIMITS.depth, hint=hint)


def _too_many(values: int) -> Fault:
    hint = "Send one component a request."
    return Fault("", "too-large", f"The document holds more than {values} values.", allowed=values, hint=hint)


def _refusal(code: str, detail: str, *, allowed: object = None, hint: str = "") -> BodyRefused:
    return BodyRefused(400, (Fault("", code, detail, allowed=allowed, hint=hint),))


def _shown(name: str) -> str:
    return json.dumps(name, ensure_ascii=False).encode("utf-8", "replace").decode("utf-8")
