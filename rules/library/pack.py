"""A pack: one document's rules and numbers, with its place, its dates and its limits."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from rules.library.quantity import Quantity
from rules.library.rule import Rule
from rules.library.value import Value
from rules.subject.material import Material, ReferenceValue
from rules.subject.settled import Assumption

if TYPE_CHECKING:
    from rules.library.cases import Case
    from rules.library.clauses import Clause
    from rules.library.declared import DeclaredRule


@dataclass(frozen=True, slots=True)
class Expected:
    """An action that a component type calls for. id: what `declines` names. nature, roles, form ("line", "point" or None),
    named: the action's id must be this, when its nature alone does not tell; at_least: how many; on_two_slopes: how many on a roof
    that falls both ways; ask: the question."""

    id: str
    what: str
    natures: tuple[str, ...]
    ask: str
    roles: tuple[str, ...] = ()
    form: str | None = None
    named: str | None = None
    at_least: int = 1
    on_two_slopes: int = 1


@dataclass(frozen=True)
class Pack:
    """Everything one pack folder holds, read, dated and checked.

    layer: "code", "grades", "national", "region" or "practice" (the order overrides apply in). regions: ISO 3166 codes it
    holds in, () everywhere. elsewhere: subdivisions it surely does not hold in; where these are named, a subdivision that
    is in neither list is undecided, and the pack is chosen. component_types: what it speaks of, () everything. builds_on:
    ids of packs it needs. reference: the values every grade of its tradition states. assumptions: choices it makes for every
    design alike. leaves_choices: whether a country has to add its own. combine: for a code pack, the function that makes
    combinations. digest: "sha256:…" over the
    folder's files. origin: "shipped", "installed" or "mounted".
    """

    id: str
    title: str
    layer: str
    tradition: str | None
    document: str
    edition: str
    release: str
    digest: str
    engine: str
    what: str = ""
    starts: datetime.date | None = None
    ends: datetime.date | None = None
    regions: tuple[str, ...] = ()
    elsewhere: tuple[str, ...] = ()
    component_types: tuple[str, ...] = ()
    builds_on: tuple[str, ...] = ()
    required: bool = False
    expected: Mapping[str, tuple[Expected, ...]] = field(default_factory=dict)
    not_covered: tuple[str, ...] = ()
    values: tuple[Value, ...] = ()
    materials: tuple[Material, ...] = ()
    reference: tuple[ReferenceValue, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    leaves_choices: bool = True
    quantities: tuple[Quantity, ...] = ()
    rules: tuple[Rule, ...] = ()
    declared: tuple[DeclaredRule, ...] = ()
    cases: tuple[Case, ...] = ()
    clauses: tuple[Clause, ...] = ()
    combine: Callable[..., Any] | None = None
    derive: Callable[..., Any] | None = None
    origin: str = "shipped"

    @property
    def pin(self) -> str:
        """id==edition@release: the words that pin exactly this pack."""
        return f"{self.id}=={self.edition}@{self.release}"
