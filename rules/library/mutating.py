"""Declared rules with one thing changed: what their examples must notice, if the examples pin the rule down."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import islice
from typing import Any

from rules.library.cel import Expression
from rules.library.declared import DeclaredRule
from rules.library.expression_text import ExpressionRefused, tokens_of
from rules.library.expression_tree import offset

SWAPS = {
    "&&": ["||"],
    "||": ["&&"],
    "==": ["!="],
    "!=": ["=="],
    "<": ["<=", ">"],
    "<=": ["<", ">"],
    ">": [">=", "<"],
    ">=": [">", "<"],
    "+": ["-"],
    "-": ["+"],
    "!": [""],
}
"""Each sign, and what it is turned into."""

STEP = 0.02
"""How far a number in an expression is moved, in its own unit."""

SHARE = 0.01
"""How far a value of the pack is moved, as a share of it."""

Put = Callable[[Expression], DeclaredRule]


@dataclass(frozen=True, slots=True)
class Mutant:
    """A rule with one thing changed. where: the line of the rule's file by its key; change: what was changed, in words."""

    where: str
    change: str
    rule: DeclaredRule

    @property
    def words(self) -> str:
        """The mutant in one line."""
        return f"{self.where}: {self.change}"

    def noticed(self) -> bool:
        """Whether some example no longer holds."""
        return any(example.differs(self.rule.judge(example.given)) for example in self.rule.examples)


def survivors(rule: DeclaredRule, most: int | None = None) -> tuple[int, list[Mutant]]:
    """How many mutants there are, at most `most`, and those no example notices."""
    made = list(islice(mutants(rule), most))
    return len(made), [each for each in made if not each.noticed()]


def mutants(rule: DeclaredRule) -> Iterator[Mutant]:
    """The rule with one sign turned, one number moved, one word replaced, one question left out, or one value of its pack moved."""
    for where, expression, put in _slots(rule):
        for change, text in _changed(expression.text):
            try:
                yield Mutant(where, change, put(expression.language.compile(text, expression.kind)))
            except ExpressionRefused:
                continue
    for i, each in enumerate(rule.undecided):
        shorter = replace(rule, reads=(), undecided=(*rule.undecided[:i], *rule.undecided[i + 1 :]))
        yield Mutant(f"undecided {i + 1}", f"left out: {each.ask!r}", shorter)
    for name, value in rule.values.items():
        if f"value.{name}" in rule.reads and isinstance(value.number, float):
            for factor in (1.0 + SHARE, 1.0 - SHARE):
                moved = value.number * factor if value.number else factor - 1.0
                yield Mutant(
                    f"value.{name}", f"{value.number:g} is {moved:g}", rule.with_values({**rule.values, name: replace(value, number=moved)})
                )
    if rule.unless is not None:
        yield Mutant("unless", "left out", replace(rule, reads=(), unless=None))


def _slots(rule: DeclaredRule) -> Iterator[tuple[str, Expression, Put]]:
    """Every expression of the rule, and how to put another in its place."""
    for name in ("when", "unless", "require", "demand", "limit"):
        expression = getattr(rule, name)
        if expression is not None:
            yield name, expression, partial(_with, rule, name)
    for i, each in enumerate(rule.undecided):
        yield f"undecided {i + 1}", each.when, partial(_asking, rule, i)


def _with(rule: DeclaredRule, name: str, other: Expression) -> DeclaredRule:
    named: dict[str, Any] = {name: other}
    return replace(rule, reads=(), **named)


def _asking(rule: DeclaredRule, i: int, when: Expression) -> DeclaredRule:
    changed = replace(rule.undecided[i], when=when)
    return replace(rule, reads=(), undecided=(*rule.undecided[:i], changed, *rule.undecided[i + 1 :]))


def _changed(text: str) -> Iterator[tuple[str, str]]:
    """What is changed, and the expression after it."""
    for token in tokens_of(text):
        at = offset(text, token)
        before, after = text[:at], text[at + len(token.text) :]
        around = f"{before[-24:].lstrip()}‹{token.text}›{after[:16].rstrip()}".replace("\n", " ")
        if token.kind == "number":
            number = float(token.text)
            for moved in (number + STEP, number - STEP):
                if moved >= 0.0:
                    yield f"{around} moved to {moved:g}", f"{before}{moved:.6f}{after}"
        elif token.kind == "string" and not before.rstrip().endswith("("):
            yield f"{around} is another word", f'{before}"another word"{after}'
        else:
            for other in SWAPS.get(token.text, ()):
                yield f"{around} turned to {other or 'nothing'}", f"{before}{other}{after}"
