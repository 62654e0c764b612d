"""formulas/<slug>.cases.yaml: worked numbers that show what a formula rule says, with where they were worked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from typing import Any

from rules.library.pack_schemas import CaseShape
from rules.library.rule import Kind, Rule
from rules.library.shaping import shaped
from rules.library.yaml_source import Source

Given = float | str | bool | None


@dataclass(frozen=True, slots=True)
class Case:
    """One worked example of a formula rule.

    given: quantities that stand for design and analysis (numbers, words, or None for what is not stated), N-mm. expect:
    what quantities come out as, within the relative tolerance. kind: what the rule says. source: who worked it. part: of a
    rule with several parts, the one it shows; empty: every one of them.
    """

    slug: str
    name: str
    given: Mapping[str, Given]
    expect: Mapping[str, float]
    kind: Kind
    source: str
    tolerance: float = 1e-9
    part: str = ""
    file: str = field(default="", compare=False)

    def shows(self, rule: Rule) -> bool:
        """Whether it is a case of this rule."""
        return self.slug == rule.slug and self.part in ("", rule.part)


def read_cases(source: Source) -> tuple[Case, ...]:
    """Every case of one file; what is wrong stands in source.faults."""
    if source.data is None:
        return ()
    if not isinstance(source.data, list):
        source.fault((), "a cases file is a list of entries, each beginning with `- name:`")
        return ()
    slug = PurePosixPath(source.file).name.removesuffix(".cases.yaml").replace("_", "-")
    shape = CaseShape()
    cases = [_case(source, slug, said) for i in range(len(source.data)) if (said := shaped(source, shape, (i,))) is not None]
    names = [(case.part, case.name) for case in cases]
    for i, name in enumerate(names):
        if name in names[:i]:
            source.fault((i, "name"), f"two cases are called {name[1]!r}")
    return tuple(cases)


def _case(source: Source, slug: str, said: Mapping[str, Any]) -> Case:
    given = {
        name: float(value) if isinstance(value, int) and not isinstance(value, bool) else value for name, value in said["given"].items()
    }
    plain = {name: said[name] for name in ("name", "expect", "source", "tolerance", "part")}
    return Case(slug=slug, given=given, kind=Kind(said["kind"]), file=source.file, **plain)
