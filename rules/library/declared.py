"""A declared rule: written in YAML by an engineer who does not program, judged one element at a time."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, NamedTuple

from rules.library.cel import Answer, Expression, Failed, Language, Unknown
from rules.library.citation import Citation
from rules.library.facts import BY_SCOPE
from rules.library.rows import FactValue, Row, usable, value_of
from rules.library.rule import Kind, Purpose, Scope
from rules.library.sentences import Sentence
from rules.library.value import Value

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


class Outcome(NamedTuple):
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
            shown = [name for name in self.sentence.names if "." in name]
            object.__setattr__(self, "reads", tuple(dict.fromkeys([*named, *shown])))

    @cached_property
    def sentence(self) -> Sentence:
        """The message, ready to be filled in."""
        return Sentence(self.message)

    @cached_property
    def language(self) -> Language:
        """What its expressions are written in."""
        return self.expressions[0].language

    @cached_property
    def id(self) -> str:
        """pack/slug, as findings and waivers name it."""
        return f"{self.pack}/{self.slug}"

    @cached_property
    def expressions(self) -> tuple[Expression, ...]:
        """Every expression of the rule, in the order they are asked."""
        asked = (self.when, self.unless, *(each.when for each in self.undecided), self.require, self.demand, self.limit)
        return tuple(each for each in asked if each is not None)

    @cached_property
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
        applies = self.when.at_once(row, self.values) if self.when else True
        return self.elsewhere if applies is False else _Judging(self, row).outcome(applies is True)

    def answer(self, expression: Expression, row: Row) -> Answer:
        """What one of its expressions says of one element."""
        return _Judging(self, row).ask(expression)

    @cached_property
    def elsewhere(self) -> Outcome:
        """What it says where it does not apply."""
        because = self.because or f"it holds only where {self.when.text if self.when else ''}"
        return Outcome(Kind.NOT_APPLICABLE, because=because, read=self.reads)

    @cached_property
    def excused(self) -> Outcome:
        """What it says where `unless` holds."""
        return Outcome(Kind.NOT_APPLICABLE, because=f"is excused where {self.unless.text if self.unless else ''}", read=self.reads)

    def asking(self, *asks: str) -> Outcome:
        """What it says where something has to be known first."""
        return Outcome(Kind.OPEN, asks=tuple(dict.fromkeys(asks)), read=self.reads)

    def right(self, demand: float | None = None, limit: float | None = None) -> Outcome:
        """What it says where all is well."""
        return Outcome(Kind.PASS, demand, limit, message=self.title + ".", read=self.reads)

    def wrong(self, row: Row, demand: float | None = None, limit: float | None = None) -> Outcome:
        """What it says where it is not."""
        facts = {name: value_of(row, name, self.values) for name in self.sentence.names if "." in name}
        return Outcome(self.outcome, demand, limit, message=self.sentence.filled(facts, demand, limit), read=self.reads)

    def question(self, name: str, value: FactValue = None) -> str:
        """What to ask where this name is not stated, or is stated as something no expression can be given."""
        if name.startswith("value."):
            return f"The number {name.removeprefix('value.')} is not in force on this day."
        if value is not None and not usable(value):
            return f"{name} is no number that can be used ({value})."
        ask = next((fact.ask for fact in BY_SCOPE[self.scope] if fact.name == name), "")
        return ask or f"Nothing tells what {name} is."


def exceeds(demand: float, limit: float) -> bool:
    """Whether a demand is beyond its limit. Takes arrays too."""
    return demand > limit + abs(limit) * TIE


class _Judging:
    """One rule on one row."""

    def __init__(self, rule: DeclaredRule, row: Row) -> None:
        self.rule, self.row = rule, row

    @cached_property
    def facts(self) -> Row:
        return {name: value_of(self.row, name, self.rule.values) for name in self.rule.reads}

    @cached_property
    def activation(self) -> Any:
        return self.rule.language.activation({name: value for name, value in self.facts.items() if usable(value)})

    def outcome(self, applying: bool) -> Outcome:
        """applying: the rule is known to apply."""
        rule = self.rule
        applies = True if applying or not rule.when else self.ask_language(rule.when)
        if isinstance(applies, (Unknown, Failed)):
            return rule.asking(self.words(applies))
        if not applies:
            return rule.elsewhere
        excused = self.ask(rule.unless) if rule.unless else False
        if excused is True:
            return rule.excused
        judged = self.doubt() or (self.required(rule.require) if rule.require else self.compared(*rule.sides))
        if isinstance(excused, (Unknown, Failed)) and judged.kind is not Kind.PASS:
            return rule.asking(self.words(excused), *judged.asks)
        return judged

    def ask(self, expression: Expression) -> Answer:
        answer = expression.at_once(self.row, self.rule.values)
        return self.ask_language(expression) if answer is None else answer

    def ask_language(self, expression: Expression) -> Answer:
        plain = self.facts.get(expression.text)
        if isinstance(plain, float) and usable(plain):  # a side that is one fact or value needs no evaluation
            return plain
        return self.rule.language.evaluate(expression, self.activation, self.rule.values)

    def doubt(self) -> Outcome | None:
        for each in self.rule.undecided:
            answer = self.ask(each.when)
            if isinstance(answer, (Unknown, Failed)):
                return self.rule.asking(self.words(answer))
            if answer:
                return self.rule.asking(each.ask)
        return None

    def required(self, require: Expression) -> Outcome:
        answer = self.ask(require)
        if isinstance(answer, (Unknown, Failed)):
            return self.rule.asking(self.words(answer))
        return self.rule.right() if answer is True else self.rule.wrong(self.row)

    def compared(self, *sides: Expression) -> Outcome:
        answers = [self.ask(side) for side in sides]
        for answer in answers:
            if isinstance(answer, (Unknown, Failed)):
                return self.rule.asking(self.words(answer))
        demand, limit = (float(answer) for answer in answers if isinstance(answer, float))
        return self.rule.wrong(self.row, demand, limit) if exceeds(demand, limit) else self.rule.right(demand, limit)

    def words(self, answer: Unknown | Failed) -> str:
        if isinstance(answer, Unknown):
            return self.rule.question(answer.name, self.facts.get(answer.name))
        return f"The rule could not be worked out: {answer.reason}."
