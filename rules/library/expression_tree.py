"""An expression as a tree, each part with its place: what the unit check, the mutants and the nearness of examples walk.

The CEL library says whether an expression is right; it does not hand out its tree. Only what it has accepted is parsed here, and of
that only what rules may use.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rules.library.expression_text import Token, tokens_of


@dataclass(frozen=True, slots=True)
class Part:
    """One operation or word.

    kind: "name", "number", "string", "bool", "list", "call", "not", "negative", "arithmetic", "comparison", "in", "and", "or",
    "choice". word: the name, literal, function or sign. at: the token to point at; first, last: indices of the tokens it spans.
    """

    kind: str
    word: str
    at: Token
    first: int
    last: int
    inner: tuple[Part, ...] = ()

    def walk(self) -> Iterator[Part]:
        """This part and every part inside it."""
        yield self
        for each in self.inner:
            yield from each.walk()


class Unreadable(ValueError):
    """Something the CEL library takes and rules do not use."""


@dataclass(frozen=True, slots=True)
class Tree:
    """A whole expression. root: its outermost part."""

    text: str
    tokens: tuple[Token, ...]
    root: Part

    def said(self, part: Part) -> str:
        """The words of a part, as they stand in the expression."""
        return self.text[self._start(part.first) : self._start(part.last) + len(self.tokens[part.last].text)]

    def _start(self, i: int) -> int:
        return offset(self.text, self.tokens[i])


def offset(text: str, token: Token) -> int:
    """Where a token begins, counted from the beginning of the text."""
    lines = text.split("\n")
    return sum(len(line) + 1 for line in lines[: token.line - 1]) + token.column - 1


def tree_of(text: str) -> Tree:
    """Parse an expression that the CEL library has accepted. Raises Unreadable for what rules do not use."""
    tokens = tuple(tokens_of(text))
    parser = _Parser(tokens)
    root = parser.choice()
    if parser.i != len(tokens):
        raise Unreadable(tokens[parser.i].text)
    return Tree(text, tokens, root)


_LEVELS = (
    (("||",), "or"),
    (("&&",), "and"),
    (("==", "!=", "<", "<=", ">", ">=", "in"), "comparison"),
    (("+", "-"), "arithmetic"),
    (("*", "/"), "arithmetic"),
)


class _Parser:
    """By recursive descent; the CEL library has already bounded the depth."""

    def __init__(self, tokens: Sequence[Token]) -> None:
        self.tokens, self.i = tokens, 0

    def peek(self) -> str:
        return self.tokens[self.i].text if self.i < len(self.tokens) else ""

    def take(self, wanted: str = "") -> Token:
        if self.i >= len(self.tokens) or (wanted and self.peek() != wanted):
            raise Unreadable(wanted or "more")
        self.i += 1
        return self.tokens[self.i - 1]

    def choice(self) -> Part:
        first = self.i
        asked = self.level(0)
        if self.peek() != "?":
            return asked
        at = self.take()
        yes = self.choice()
        self.take(":")
        no = self.choice()
        return Part("choice", "?", at, first, self.i - 1, (asked, yes, no))

    def level(self, k: int) -> Part:
        if k == len(_LEVELS):
            return self.sign()
        signs, kind = _LEVELS[k]
        first = self.i
        left = self.level(k + 1)
        if kind in ("or", "and") and self.peek() in signs:
            return self.joined(k, left, first)
        while self.peek() in signs and self.peek():
            at = self.take()
            right = self.level(k + 1)
            left = Part("in" if at.text == "in" else kind, at.text, at, first, self.i - 1, (left, right))
        return left

    def joined(self, k: int, left: Part, first: int) -> Part:
        """A chain of && or of || in one piece, however long it is."""
        sign, kind = _LEVELS[k][0][0], _LEVELS[k][1]
        at, terms = self.tokens[self.i], [left]
        while self.peek() == sign:
            self.take()
            terms.append(self.level(k + 1))
        return Part(kind, sign, at, first, self.i - 1, tuple(terms))

    def sign(self) -> Part:
        first = self.i
        if self.peek() in ("!", "-"):
            at = self.take()
            inner = self.sign()
            return Part("not" if at.text == "!" else "negative", at.text, at, first, self.i - 1, (inner,))
        return self.methods(self.primary(), first)

    def methods(self, part: Part, first: int) -> Part:
        while self.peek() == ".":
            self.take()
            at = self.take()
            inner = (part, *self.arguments())
            part = Part("call", at.text, at, first, self.i - 1, inner)
        return part

    def arguments(self, closing: str = ")") -> tuple[Part, ...]:
        self.take("(" if closing == ")" else "[")
        found: list[Part] = []
        while self.peek() != closing:
            found.append(self.choice())
            if self.peek() == ",":
                self.take()
            elif self.peek() != closing:
                raise Unreadable(self.peek())
        self.take(closing)
        return tuple(found)

    def primary(self) -> Part:
        first = self.i
        if self.peek() == "(":
            self.take()
            inner = self.choice()
            self.take(")")
            return Part(inner.kind, inner.word, inner.at, first, self.i - 1, inner.inner)
        if self.peek() == "[":
            at = self.tokens[first]
            items = self.arguments("]")
            return Part("list", "[", at, first, self.i - 1, items)
        at = self.take()
        if at.kind == "name" and at.text not in ("true", "false") and self.peek() == "(":
            return self.called(at, first)
        kind = "bool" if at.text in ("true", "false") else at.kind
        if kind not in ("name", "number", "string", "bool"):
            raise Unreadable(at.text)
        return Part(kind, at.text, at, first, first)

    def called(self, at: Token, first: int) -> Part:
        """A function, or a method of a fact by its whole name: site.district.startsWith("E")."""
        owner, _, method = at.text.rpartition(".")
        of = (Part("name", owner, at, first, first),) if owner else ()
        inner = (*of, *self.arguments())
        return Part("call", method, at, first, self.i - 1, inner)
