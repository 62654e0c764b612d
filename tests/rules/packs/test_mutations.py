"""Every shipped declared rule is pinned down by its examples: changed a little anywhere, one of them no longer holds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest

from rules.library.cel import Expression
from rules.library.declared import DeclaredRule
from rules.library.expression_text import ExpressionRefused, tokens_of
from rules.library.loading import load_library

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
Put = Callable[[Expression], DeclaredRule]


def changed_texts(text: str) -> Iterator[str]:
    """The expression with one sign turned, one number moved by two hundredths, or one word replaced."""
    starts = [0]
    for line in text.split("\n"):
        starts.append(starts[-1] + len(line) + 1)
    for token in tokens_of(text):
        at = starts[token.line - 1] + token.column - 1
        before, after = text[:at], text[at + len(token.text) :]
        if token.kind == "number":
            number = float(token.text)
            yield from (f"{before}{moved:.6f}{after}" for moved in (number + 0.02, number - 0.02) if moved >= 0.0)
        elif token.kind == "string" and not before.rstrip().endswith("("):
            yield f'{before}"another word"{after}'
        else:
            yield from (f"{before}{other}{after}" for other in SWAPS.get(token.text, ()))


def slots(rule: DeclaredRule) -> Iterator[tuple[Expression, Put]]:
    """Every expression of the rule, and how to put another in its place."""
    for name in ("when", "unless", "require", "demand", "limit"):
        expression = getattr(rule, name)
        if expression is not None:
            yield expression, lambda other, name=name: replace(rule, reads=(), **{name: other})
    for i, each in enumerate(rule.undecided):
        changed = [*rule.undecided]

        def put(other: Expression, i: int = i, changed: list = changed) -> DeclaredRule:
            return replace(rule, reads=(), undecided=(*changed[:i], replace(changed[i], when=other), *changed[i + 1 :]))

        yield each.when, put


def mutants(rule: DeclaredRule) -> Iterator[tuple[str, DeclaredRule]]:
    for expression, put in slots(rule):
        for text in changed_texts(expression.text):
            try:
                yield text, put(expression.language.compile(text, expression.kind))
            except ExpressionRefused:
                continue
    for i, each in enumerate(rule.undecided):
        yield f"without the question {each.ask!r}", replace(rule, reads=(), undecided=(*rule.undecided[:i], *rule.undecided[i + 1 :]))
    for name, value in rule.values.items():
        if f"value.{name}" in rule.reads and isinstance(value.number, float):
            for factor in (1.01, 0.99):
                yield f"{name} x {factor}", rule.with_values({**rule.values, name: replace(value, number=value.number * factor)})


RULES = [(pack.id, rule.slug) for pack in load_library().packs for rule in pack.declared]


@pytest.mark.parametrize(("pack", "slug"), RULES)
def test_no_change_goes_unnoticed(shipped, pack, slug):
    rule = next(rule for rule in shipped.pack(pack).declared if rule.slug == slug)
    made = list(mutants(rule))
    survivors = [text for text, mutant in made if not any(example.differs(mutant.judge(example.given)) for example in rule.examples)]
    assert len(made) >= 4
    assert survivors == []
