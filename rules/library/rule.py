"""A rule: what must not exceed what, for which elements, in which combinations, by whose word."""

from __future__ import annotations

import string
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from rules.library.citation import Citation
from rules.library.quantity import ONE, Quantity


class Scope(StrEnum):
    """What a rule looks at, one judgement each."""

    DESIGN = "design"
    MEMBER = "member"
    JOINT = "joint"
    SUPPORT = "support"
    BRACE = "brace"


class Purpose(StrEnum):
    """Why a rule is there. Only STRENGTH rules count as judging an element."""

    STRENGTH = "strength"
    SERVICEABILITY = "serviceability"
    DURABILITY = "durability"
    LOADS = "loads"
    PRACTICE = "practice"


class Kind(StrEnum):
    """The closed list of outcomes, in the words of SARIF 2.1.0."""

    FAIL = "fail"
    OPEN = "open"
    REVIEW = "review"
    INFORMATIONAL = "informational"
    NOT_APPLICABLE = "notApplicable"
    PASS = "pass"


MEMBER, JOINT, SUPPORT, DESIGN, BRACE = Scope.MEMBER, Scope.JOINT, Scope.SUPPORT, Scope.DESIGN, Scope.BRACE
STRENGTH, SERVICEABILITY, DURABILITY, LOADS, PRACTICE = (
    Purpose.STRENGTH,
    Purpose.SERVICEABILITY,
    Purpose.DURABILITY,
    Purpose.LOADS,
    Purpose.PRACTICE,
)


@dataclass(frozen=True)
class Rule:
    """A formula rule, judged on whole arrays at once.

    slug: names its file, cases, page and finding. axis: whose properties the names stand for, "member", "support" (the
    piece that bears), "seat" (what it bears on), "brace", "anchor" (of an item of bracing, what fixes its
    end), "joint" (a piece at a joint, for each place of its plates), "joint-line" or "design";
    empty: the scope's own. part: tells apart several judgements of one rule on one element.
    under: the combination set its arrays run over ("ultimate", "accidental", "equilibrium", "characteristic", ...).
    demand, limit: quantities over (combination, station) for MEMBER, (combination, support) for SUPPORT, (combination, place) for JOINT,
    (combination, item of bracing) for BRACE, (combination, 1) for DESIGN; fails when demand > limit. when: a boolean quantity of the same axes saying where the rule applies;
    because: why not, when it applies nowhere. undecided: a boolean quantity saying where a person must look or more must be
    known, with `ask` the question, which may name {demand} and {limit}; where it holds the judgement is open whatever the ratio.
    outcome: what it says wherever it applies, if that is no pass or fail. beyond: what it says where demand exceeds limit; `open` asks `ask`.
    mandatory: a caller can neither lower its level nor waive it. message: one sentence with {element}, {percent}, {demand}, {limit}, {at}, {combination}; remedies: what can be done.
    """

    slug: str
    title: str
    scope: Scope
    purpose: Purpose
    demand: Quantity
    cites: Citation
    message: str
    limit: Quantity = ONE
    under: tuple[str, ...] = ("ultimate",)
    when: Quantity | None = None
    because: str = ""
    undecided: Quantity | None = None
    ask: str = ""
    part: str = ""
    axis: str = ""
    severity: str = "error"
    outcome: Kind = Kind.FAIL
    beyond: Kind = Kind.FAIL
    mandatory: bool = False
    why: str = ""
    remedies: tuple[str, ...] = field(default=())
    pack: str = ""

    @cached_property
    def keys(self) -> tuple[tuple[str, str], ...]:
        """The combination sets and the axis it looks at."""
        axis = self.axis or str(self.scope)
        return tuple((under, axis) for under in self.under)

    @cached_property
    def kind(self) -> str:
        """Of the elements it looks at."""
        return self.scope.value

    @cached_property
    def right(self) -> Kind:
        """What it says where demand is within the limit."""
        return self.said(fails=False)

    @cached_property
    def wrong(self) -> Kind:
        """What it says where it is not."""
        return self.said(fails=True)

    @cached_property
    def judged_by(self) -> tuple[str, ...]:
        """The names of the quantities it is judged by wherever it applies."""
        return tuple(each.name for each in (self.demand, self.limit, self.undecided) if each is not None)

    @cached_property
    def decided_by(self) -> tuple[str, ...]:
        """The names of those that have to be known for a fail or a pass."""
        return tuple(each.name for each in (self.demand, self.limit, self.when) if each is not None)

    def said(self, *, fails: bool) -> Kind:
        """What it says where it is decided."""
        if self.outcome is not Kind.FAIL:
            return self.outcome
        return self.beyond if fails else Kind.PASS

    @cached_property
    def id(self) -> str:
        """pack/slug, as findings and waivers name it."""
        return f"{self.pack}/{self.slug}"

    @cached_property
    def named(self) -> tuple[str, ...]:
        """What stands in the braces of its message."""
        return tuple(dict.fromkeys(name for _, name, *_ in string.Formatter().parse(self.message) if name))
