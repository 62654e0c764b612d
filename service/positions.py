"""Where each value of a JSON text stands: from its pointer to line and column, for tools that show a finding in the file it is about."""

from __future__ import annotations

import json
import re
from bisect import bisect_right
from collections.abc import Generator, Iterator, Mapping
from dataclasses import dataclass

from rules.subject.faults import pointer

_TOKEN = re.compile(r'[ \t\r\n]*("(?:[^"\\]|\\.)*"|[^\s{}\[\],:"]+|[{}\[\],:])', re.DOTALL)
_DEEPEST = 64


@dataclass(frozen=True, slots=True)
class Span:
    """First and last character of a value, as line and column from 1; the last column is the one after it."""

    line: int
    column: int
    end_line: int
    end_column: int


def positions(text: str) -> Mapping[str, Span]:
    """The span of every value, by its JSON pointer. Empty for a text that is no JSON, or deeper than a document may be."""
    starts = [0, *(found.end() for found in re.finditer("\n", text))]
    try:
        return {pointer(*steps): _span(starts, first, last) for steps, first, last in _values(_tokens(text), ())}
    except (StopIteration, RuntimeError, ValueError):
        return {}


def nearest(spans: Mapping[str, Span], at: str) -> Span | None:
    """The span of the value at a pointer, or of the nearest around it that the text holds; of the shape, for a frame drawn from one."""
    while at and at not in spans:
        at = "/shape" if at in DRAWN and "/shape" in spans else at.rpartition("/")[0]
    return spans.get(at)


DRAWN = ("/nodes", "/members", "/supports")


def _tokens(text: str) -> Iterator[tuple[str, int, int]]:
    at = 0
    while found := _TOKEN.match(text, at):
        yield found[1], found.start(1), found.end(1)
        at = found.end()


Steps = tuple[str | int, ...]


def _values(tokens: Iterator[tuple[str, int, int]], steps: Steps) -> Iterator[tuple[Steps, int, int]]:
    """The value that begins with the next token, and every value in it."""
    word, first, last = next(tokens)
    yield from _from(word, first, last, tokens, steps)


def _from(word: str, first: int, last: int, tokens: Iterator[tuple[str, int, int]], steps: Steps) -> Iterator[tuple[Steps, int, int]]:
    if len(steps) > _DEEPEST or word in ("}", "]", ",", ":"):
        raise ValueError
    if word in ("{", "["):
        last = yield from _inside(word, tokens, steps)
    yield steps, first, last


def _inside(opening: str, tokens: Iterator[tuple[str, int, int]], steps: Steps) -> Generator[tuple[Steps, int, int], None, int]:
    """Every value between brackets; returns where they close."""
    count = 0
    while True:
        word, first, last = next(tokens)
        if word in ("}", "]"):
            return last
        if word == ",":
            continue
        step: str | int = count
        if opening == "{":
            step = json.loads(word)
            next(tokens)
            word, first, last = next(tokens)
        count += 1
        yield from _from(word, first, last, tokens, (*steps, step))


def _span(starts: list[int], first: int, last: int) -> Span:
    line, end = bisect_right(starts, first), bisect_right(starts, last)
    return Span(line, first - starts[line - 1] + 1, end, last - starts[end - 1] + 1)
