"""Parts of a condition that can only ever say one thing, as far as that can be decided from the text."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from rules.library.expression_text import TextFault
from rules.library.expression_tree import Part, Tree

_MIRRORED = {"<": ">", ">": "<", "<=": ">=", ">=": "<=", "==": "==", "!=": "!="}


def dead_parts(tree: Tree, words: Mapping[str, tuple[str, ...]]) -> Iterator[TextFault]:
    """Every part that always says the same. words: of facts that are texts of a closed list, what they can be."""
    for part in tree.root.walk():
        if part.kind in ("comparison", "in"):
            yield from _comparison(tree, part, words)
        elif part.kind == "bool":
            yield _fault(part, f"{part.word} always says the same", "leave it out")
        elif part.kind == "and":
            yield from _contradictions(part)


def _fault(part: Part, message: str, hint: str = "") -> TextFault:
    return TextFault(part.at.line, part.at.column, message, hint)


def _comparison(tree: Tree, part: Part, words: Mapping[str, tuple[str, ...]]) -> Iterator[TextFault]:
    left, right = part.inner
    if not any(each.kind in ("name", "call") for each in part.walk()):
        yield _fault(part, f"{tree.said(part)} reads no fact, so it always says the same")
    elif left.kind == right.kind == "name" and left.word == right.word:
        yield _fault(part, f"{left.word} is compared with itself")
    for name, other in ((left, right), (right, left)):
        known = words.get(name.word) if name.kind == "name" else None
        for literal in (other, *other.inner) if other.kind in ("string", "list") else ():
            if known and literal.kind == "string" and literal.word[1:-1] not in known:
                yield _fault(literal, f"{name.word} is never {literal.word}", "known: " + ", ".join(known))


def _terms(part: Part) -> Iterator[Part]:
    for each in part.inner:
        yield from _terms(each) if each.kind == "and" else (each,)


def _contradictions(part: Part) -> Iterator[TextFault]:
    """Conditions joined by && that cannot hold together: two words for one fact, or an empty range of numbers."""
    said: dict[str, str] = {}
    ranges: dict[str, _Range] = {}
    for term in _terms(part):
        if term.kind != "comparison":
            continue
        left, right = term.inner
        sign = term.word
        if right.kind == "name" and left.kind in ("number", "string"):
            left, right, sign = right, left, _MIRRORED[sign]
        if left.kind != "name":
            continue
        if right.kind == "string" and sign == "==" and said.setdefault(left.word, right.word) != right.word:
            yield _fault(term, f"{left.word} cannot be {said[left.word]} and {right.word} at once")
        if right.kind == "number" and sign != "!=":
            ranges[left.word] = ranges.get(left.word, _Range()).narrowed(sign, float(right.word.rstrip("uU")))
            if ranges[left.word].empty:
                yield _fault(term, f"no number fits what is asked of {left.word} here")


@dataclass(frozen=True, slots=True)
class _Range:
    """Numbers between two ends; an end that is `open` is not among them."""

    low: float = -math.inf
    low_open: bool = False
    high: float = math.inf
    high_open: bool = False

    @property
    def empty(self) -> bool:
        return self.low > self.high or (self.low == self.high and (self.low_open or self.high_open))

    def narrowed(self, sign: str, number: float) -> _Range:
        made = self
        if sign in (">", ">=", "==") and (number, sign == ">") > (self.low, self.low_open):
            made = replace(made, low=number, low_open=sign == ">")
        if sign in ("<", "<=", "==") and (-number, sign == "<") > (-self.high, self.high_open):
            made = replace(made, high=number, high_open=sign == "<")
        return made
