"""A declared rule: written in YAML by an engineer who does not program, judged one element at a time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from rules.library.citation import Citation
from rules.library.rule import Kind, Purpose, Scope
from rules.library.value import Value


@dataclass(frozen=True)
class DeclaredRule:
    """Placeholder shape while the language is written."""

    slug: str
    title: str
    scope: Scope
    purpose: Purpose
    severity: str
    message: str
    cites: Citation
    pack: str
    part: str = ""
    outcome: Kind = Kind.FAIL
    values: Mapping[str, Value] = field(default_factory=dict)

    @property
    def id(self) -> str:
        """pack/slug, as findings and waivers name it."""
        return f"{self.pack}/{self.slug}"

    def within(self, document: str, edition: str) -> DeclaredRule:
        """The same rule with its citation completed."""
        return replace(self, cites=self.cites.within(document, edition))

    def with_values(self, values: Mapping[str, Value]) -> DeclaredRule:
        """The same rule with the numbers in force."""
        return replace(self, values=values)
