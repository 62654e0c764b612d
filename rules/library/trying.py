"""What the examples of a pack are worth: do they hold, do they show each answer, are they near the thresholds, what do they not notice?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rules.library.cel import Expression
from rules.library.declared import DeclaredRule, Example
from rules.library.expression_text import ExpressionRefused
from rules.library.mutating import survivors
from rules.library.rule import Kind

FAR = 0.1
"""Examples farther from every threshold than this share of it leave the threshold in the dark."""


@dataclass(frozen=True, slots=True)
class Nearness:
    """How near an example comes to a threshold. share: the difference over the greater side, 0 at the threshold; side: under or over."""

    threshold: str
    share: float
    side: str


@dataclass(frozen=True, slots=True)
class ShownExample:
    """One example and what the rule says of it. differs: what it says otherwise than expected; nearest: its nearest threshold."""

    name: str
    expect: Kind
    differs: str
    nearest: Nearness | None


@dataclass(frozen=True, slots=True)
class TriedRule:
    """One declared rule and what its examples are worth. missing: answers no example shows; far: thresholds no example comes near;
    mutants: how many small changes were made; unnoticed: those no example noticed."""

    slug: str
    title: str
    examples: tuple[ShownExample, ...]
    missing: tuple[Kind, ...]
    far: tuple[str, ...]
    mutants: int
    unnoticed: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether every example holds, every answer is shown, and every change is noticed."""
        return not (self.missing or self.unnoticed or any(each.differs for each in self.examples))

    def plain(self) -> dict[str, Any]:
        """As plain data."""
        return {
            "rule": self.slug,
            "title": self.title,
            "sound": self.sound,
            "examples": [_plain(each) for each in self.examples],
            "missing": [str(kind) for kind in self.missing],
            "far": list(self.far),
            "mutants": self.mutants,
            "unnoticed": list(self.unnoticed),
        }


def _plain(each: ShownExample) -> dict[str, Any]:
    near = each.nearest
    shown = {"threshold": near.threshold, "share": near.share, "side": near.side} if near else None
    return {"name": each.name, "expect": str(each.expect), "differs": each.differs or None, "nearest": shown}


def try_rule(rule: DeclaredRule, most_mutants: int | None = None) -> TriedRule:
    """Work every example, and every mutant on every example, the first `most_mutants` of them."""
    thresholds = list(_thresholds(rule))
    near = {example.name: _nearness(rule, thresholds, example) for example in rule.examples}
    shown = tuple(
        ShownExample(each.name, each.expect, each.differs(rule.judge(each.given)), min(near[each.name], key=_share, default=None))
        for each in rule.examples
    )
    made, alive = survivors(rule, most_mutants)
    reached = {each.threshold for found in near.values() for each in found if each.share <= FAR}
    far = tuple(words for words, _, _ in thresholds if words not in reached)
    return TriedRule(rule.slug, rule.title, shown, tuple(_missing(rule)), far, made, tuple(mutant.words for mutant in alive))


def _share(near: Nearness) -> float:
    return near.share


def _missing(rule: DeclaredRule) -> Iterator[Kind]:
    shown = {example.expect for example in rule.examples}
    wanted = [Kind.PASS, rule.outcome]
    wanted += [Kind.NOT_APPLICABLE] if rule.when or rule.unless else []
    wanted += [Kind.OPEN] if rule.undecided else []
    return (kind for kind in wanted if kind not in shown)


Threshold = tuple[str, Expression, Expression]


def _thresholds(rule: DeclaredRule) -> Iterator[Threshold]:
    """Demand against limit, and every comparison of numbers in a condition: in words, and its two sides."""
    if rule.demand and rule.limit:
        yield f"{rule.demand.text} <= {rule.limit.text}", rule.demand, rule.limit
    met: set[str] = set()
    for condition in rule.expressions:
        if condition.kind == "bool":
            for words, one, other in _comparisons(condition):
                if words not in met:
                    met.add(words)
                    yield words, one, other


def _comparisons(condition: Expression) -> Iterator[Threshold]:
    tree = condition.tree
    if tree is None:
        return
    for part in tree.root.walk():
        if part.kind == "comparison" and part.word in ("<", "<=", ">", ">="):
            sides = [_side(condition, tree.said(each)) for each in part.inner]
            if sides[0] and sides[1]:
                yield " ".join(tree.said(part).split()), sides[0], sides[1]


def _side(condition: Expression, text: str) -> Expression | None:
    try:
        return condition.language.compile(text, "double")
    except ExpressionRefused:
        return None


def _nearness(rule: DeclaredRule, thresholds: list[Threshold], example: Example) -> list[Nearness]:
    found = []
    for words, one, other in thresholds:
        left, right = rule.answer(one, example.given), rule.answer(other, example.given)
        if isinstance(left, float) and isinstance(right, float):
            most = max(abs(left), abs(right))
            share = abs(left - right) / most if most else 0.0
            found.append(Nearness(words, share, "at" if left == right else "under" if left < right else "over"))
    return found
