"""A declared rule: written in YAML by an engineer who does not program, judged one element at a time."""

from __future__ import annotations

import math
import string
from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass, field, replace

from rules.library.cel import Answer, Expression, Failed, Language, Unknown
from rules.library.citation import Citation
from rules.library.expression_text import MAX_NUMBER
from rules.library.facts import BY_SCOPE
from rules.library.rule import Kind, Purpose, Scope
from rules.library.value import Value

FactValue = float | str | bool | None
Row = Mapping[str, FactValue]
"""The facts of one element by name; None: not stated."""

TIE = 1e-9
"""A limit is exceeded when the demand is greater than limit·(1 + TIE)."""


@dataclass(frozen=True, slots=True)
class Undecided:
    """When a question must be answered before the rule can speak."""

    when: Expression
    ask: str


@dataclass(frozen=True, slots=True)
class Example:
    """One row of facts and the kind the rule must give. Facts that are not given are not stated.

    asks: words that must stand in the question of an open one; empty: any question.
    """

    name: str
    given: Row
    expect: Kind
    asks: str = ""

    def differs(self, outcome: Outcome) -> str:
        """What the rule said otherwise than expected; empty when it agrees."""
        if outcome.kind is not self.expect:
            why = "; ".join(outcome.asks) or outcome.because or outcome.message
            return f"the rule says {outcome.kind} here, the example expects {self.expect}: {why}"
        if self.asks and not any(self.asks in ask for ask in outcome.asks):
            return f"the rule asks {' '.join(outcome.asks)!r}, the example expects {self.asks!r} in it"
        return ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a rule said of one element.

    demand, limit: in the rule's unit, for a rule that compares. because: why it does not apply. asks: what would decide an
    open one. message: the sentence for fail, informational and pass. read: the facts it may have looked at.
    """

    kind: Kind
    demand: float | None = None
    limit: float | None = None
    because: str = ""
    asks: tuple[str, ...] = ()
    message: str = ""
    read: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class DeclaredRule:
    """One rule of a pack's declared/ folder, read and checked.

    slug: names its file, page and finding. when: where it applies; unless: what excuses from it, asked about only where it
    matters; because: why it does not apply where `when` does not hold. undecided: asked in order before anything is compared. Either require (true is right) or demand and limit (demand <= limit is right), in
    unit. mandatory: a caller can neither lower its level nor waive it. outcome: what it gives where that is not so, FAIL at the level of severity, or INFORMATIONAL. message: one sentence
    with {demand}, {limit} and any fact or scalar value by name. values: the numbers in force. reads: the facts and values it
    may look at, in order.
    """

    slug: str
    title: str
    scope: Scope
    purpose: Purpose
    severity: str
    message: str
    cites: Citation
    why: str
    pack: str
    require: Expression | None = None
    demand: Expression | None = None
    limit: Expression | None = None
    unit: str = ""
    when: Expression | None = None
    unless: Expression | None = None
    because: str = ""
    undecided: tuple[Undecided, ...] = ()
    examples: tuple[Example, ...] = ()
    remedies: tuple[str, ...] = ()
    outcome: Kind = Kind.FAIL
    part: str = ""
    mandatory: bool = False
    values: Mapping[str, Value] = field(default_factory=dict)
    reads: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Note once which facts and values the rule may look at."""
        if not self.reads:
            named = [name for each in self.expressions for name in each.reads]
            shown = [name for name in placeholders(self.message) if "." in name]
            object.__setattr__(self, "reads", tuple(dict.fromkeys([*named, *shown])))

    @property
    def language(self) -> Language:
        """What its expressions are written in."""
        return self.expressions[0].language

    @property
    def id(self) -> str:
        """pack/slug, as findings and waivers name it."""
        return f"{self.pack}/{self.slug}"

    @property
    def expressions(self) -> tuple[Expression, ...]:
        """Every expression of the rule, in the order they are asked."""
        asked = (self.when, self.unless, *(each.when for each in self.undecided), self.require, self.demand, self.limit)
        return tuple(each for each in asked if each is not None)

    @property
    def sides(self) -> tuple[Expression, ...]:
        """Demand and limit, of a rule that compares."""
        return tuple(each for each in (self.demand, self.limit) if each is not None)

    def within(self, document: str, edition: str) -> DeclaredRule:
        """The same rule with its citation completed."""
        return replace(self, cites=self.cites.within(document, edition))

    def with_values(self, values: Mapping[str, Value]) -> DeclaredRule:
        """The same rule with the numbers in force."""
        fresh = copy(self)  # a quarter of the cost of replace, once a rule and request
        object.__setattr__(fresh, "values", values)
        return fresh

    def judge(self, row: Row) -> Outcome:
        """Judge one element. Never raises for what a row may hold: what cannot be worked out is open."""
        return _Judging(self, row).outcome()

    def answer(self, expression: Expression, row: Row) -> Answer:
        """What one of its expressions says of one element."""
        return _Judging(self, row).ask(expression)


class _Judging:
    """One rule on one row."""

    def __init__(self, rule: DeclaredRule, row: Row) -> None:
        self.rule, self.language = rule, rule.language
        self.facts = {name: row[name] if name in row else _beside(rule, row, name) for name in rule.reads}
        self.activation = self.language.activation({name: value for name, value in self.facts.items() if _usable(value)})

    def outcome(self) -> Outcome:
        rule = self.rule
        applies = self.ask(rule.when) if rule.when else True
        if isinstance(applies, (Unknown, Failed)):
            return self.open(applies)
        if not applies:
            return self.elsewhere(rule.because or f"it holds only where {rule.when.text if rule.when else ''}")
        excused = self.ask(rule.unless) if rule.unless else False
        if excused is True:
            return self.elsewhere(f"is excused where {rule.unless.text if rule.unless else ''}")
        judged = self.doubt() or (self.required(rule.require) if rule.require else self.compared(*rule.sides))
        if isinstance(excused, (Unknown, Failed)) and judged.kind is not Kind.PASS:
            return self.open(excused, *judged.asks)
        return judged

    def elsewhere(self, because: str) -> Outcome:
        return Outcome(Kind.NOT_APPLICABLE, because=because, read=self.rule.reads)

    def ask(self, expression: Expression) -> Answer:
        plain = self.facts.get(expression.text)
        if isinstance(plain, float) and _usable(plain):  # a side that is one fact or value needs no evaluation
            return plain
        return self.language.evaluate(expression, self.activation, self.rule.values)

    def doubt(self) -> Outcome | None:
        for each in self.rule.undecided:
            answer = self.ask(each.when)
            if isinstance(answer, (Unknown, Failed)):
                return self.open(answer)
            if answer:
                return Outcome(Kind.OPEN, asks=(each.ask,), read=self.rule.reads)
        return None

    def required(self, require: Expression) -> Outcome:
        answer = self.ask(require)
        if isinstance(answer, (Unknown, Failed)):
            return self.open(answer)
        return self.said(answer is True, None, None)

    def compared(self, *sides: Expression) -> Outcome:
        answers = [self.ask(side) for side in sides]
        for answer in answers:
            if isinstance(answer, (Unknown, Failed)):
                return self.open(answer)
        demand, limit = (float(answer) for answer in answers if isinstance(answer, float))
        return self.said(not demand > limit + abs(limit) * TIE, demand, limit)

    def said(self, right: bool, demand: float | None, limit: float | None) -> Outcome:
        rule = self.rule
        kind = Kind.PASS if right else rule.outcome
        text = rule.title + "." if right else self.filled(demand, limit)
        return Outcome(kind, demand, limit, message=text, read=rule.reads)

    def filled(self, demand: float | None, limit: float | None) -> str:
        shown = {name: _word(value) for name, value in self.facts.items()}
        if demand is not None and limit is not None:
            shown["demand"], shown["limit"] = _apart(demand, limit)
        return _Filler().vformat(self.rule.message, (), shown)

    def open(self, answer: Unknown | Failed, *also: str) -> Outcome:
        said = self.question(answer.name) if isinstance(answer, Unknown) else f"The rule could not be worked out: {answer.reason}."
        return Outcome(Kind.OPEN, asks=tuple(dict.fromkeys([said, *also])), read=self.rule.reads)

    def question(self, name: str) -> str:
        if name.startswith("value."):
            return f"The number {name.removeprefix('value.')} is not in force on this day."
        asks = {fact.name: fact.ask for fact in BY_SCOPE[self.rule.scope]}
        wrong = self.facts.get(name)
        if wrong is not None and not _usable(wrong):
            return f"{name} is no number that can be used ({wrong})."
        return asks.get(name) or f"Nothing tells what {name} is."


def _beside(rule: DeclaredRule, row: Row, name: str) -> FactValue:
    """What is no fact of the row itself: a number of the pack, or whether a fact is stated."""
    if name.startswith("value."):
        value = rule.values.get(name.removeprefix("value."))
        return value.number if value else None
    if name.endswith("_stated"):
        return row.get(name.removesuffix("_stated")) is not None
    return None


def _usable(value: FactValue) -> bool:
    return abs(value) <= MAX_NUMBER if isinstance(value, float) else value is not None


def _word(value: FactValue) -> str:
    if value is None:
        return "not stated"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else readable(value)


def readable(number: float, digits: int = 4) -> str:
    """A number as a builder reads it: no exponent, no more digits than it needs."""
    places = max(0, digits - 1 - math.floor(math.log10(abs(number)))) if number else 0
    text = f"{number:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _apart(demand: float, limit: float) -> tuple[str, str]:
    """Both as read, with enough digits that different numbers never look equal."""
    for digits in range(4, 18):
        texts = readable(demand, digits), readable(limit, digits)
        if demand == limit or texts[0] != texts[1]:
            break
    return texts


class _Filler(string.Formatter):
    """Fills {member.length_mm} by its whole name."""

    def get_field(self, field_name: str, args: object, kwargs: object) -> tuple[object, str]:
        assert isinstance(kwargs, Mapping)
        return kwargs[field_name], field_name


def placeholders(message: str) -> tuple[str, ...]:
    """The names in braces of a message. Raises ValueError for braces that do not pair, or that hold more than a name."""
    found = []
    for _, name, spec, conversion in string.Formatter().parse(message):
        if name is not None:
            if spec or conversion or not name:
                raise ValueError("only a name stands in braces")
            found.append(name)
    return tuple(found)
