"""Load cases a pack works out from what is carried and where it stands: each with its working, and with what could not be known."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from rules.library.citation import Citation
from rules.library.evidence import Evidence
from rules.library.given import Given
from rules.library.planning import Plans
from rules.library.quantity import Quantity
from rules.library.steps import Step
from rules.library.value import Value
from rules.subject.actions import Action
from rules.subject.design import Design
from rules.subject.settled import Assumption


@dataclass(frozen=True, slots=True)
class Derivation:
    """A load case with how it came about. what: in words; steps: its numbers in the order they led to it; replaced: the design
    states a load case of its own in its place."""

    action: Action
    what: str
    steps: tuple[Step, ...] = ()
    replaced: bool = False

    @property
    def citations(self) -> tuple[Citation, ...]:
        """Every source its numbers rest on, each once."""
        return tuple(dict.fromkeys(step.cites for step in self.steps if step.cites))


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something that could not be worked out ("open"), or that a person has to look at ("review"). part: a slug of its own."""

    part: str
    kind: Literal["open", "review"]
    message: str
    ask: str
    pointer: str


@dataclass(frozen=True, slots=True)
class Derived:
    """All that one pack, or all of them, worked out for a design."""

    derivations: tuple[Derivation, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    assumptions: tuple[Assumption, ...] = ()

    def __add__(self, other: Derived) -> Derived:
        return Derived((*self.derivations, *other.derivations), (*self.doubts, *other.doubts), (*self.assumptions, *other.assumptions))


@dataclass(frozen=True)
class Known:
    """What a derivation may look things up in: the numbers and the formulas in force. plans: how they rest on each other, where that is kept."""

    values: Mapping[str, Value]
    book: Mapping[str, Quantity]
    plans: Plans | None = None

    def number(self, name: str) -> float:
        """A plain number in force."""
        number = self.values[name].number
        assert isinstance(number, (int, float)), f"{name} is a number in its pack"
        return float(number)

    def word(self, name: str) -> str:
        """A plain word in force."""
        return str(self.values[name].number)

    def between(self, name: str, *keys: str | float) -> Given | None:
        """A number on the straight line between the rows of a table; None beyond its ends. Its place stands in the working."""
        value = self.values[name]
        assert value.table is not None, f"{name} is a table in its pack"
        found = value.table.between(keys)
        return None if found is None else self._given(value, found, keys)

    def row(self, name: str, *keys: str | float | None) -> Given | None:
        """A number of one row of a table; None where no row fits."""
        value = self.values[name]
        assert value.table is not None, f"{name} is a table in its pack"
        found = value.table.look_up(keys)
        return self._given(value, float(found), keys) if isinstance(found, (int, float)) else None

    def _given(self, value: Value, number: float, keys: Sequence[str | float | None]) -> Given:
        place = ", ".join(f"{key:.4g}" if isinstance(key, float) else str(key) for key in keys)
        return Given(value.name, value.symbol, value.unit, f"{value.what}: {place}", number, number=value)

    def sheet(self, *given: Given) -> Sheet:
        """A sheet that begins with these numbers."""
        return Sheet(self, {each.name: each for each in given})


@dataclass
class Sheet:
    """The working of one load case: numbers given, and quantities worked out from them and from the values in force."""

    known: Known
    given: dict[str, Given]
    evidence: Evidence = field(init=False)

    def __post_init__(self) -> None:
        plan = self.known.plans.of(self.given) if self.known.plans else None
        self.evidence = Evidence(self.known.book, self.known.values, self.given, plan)

    def __getitem__(self, name: str) -> float:
        return float(self.evidence[name])

    def steps(self, *names: str) -> tuple[Step, ...]:
        """The working of these quantities, each number once."""
        return tuple(dict.fromkeys(step for name in names for step in self.evidence.steps(name)))

    def with_given(self, *given: Given) -> Sheet:
        """A sheet with further numbers, or others in their place."""
        return Sheet(self.known, {**self.given, **{each.name: each for each in given}})


Derive = Callable[[Design, Known], Derived]
"""What derive.py of a pack holds: from a design whose frame is drawn to what can be worked out for it. It never sees a response."""
