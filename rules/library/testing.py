"""What a pack's tests ask: does every rule show its passing, failing and other answers, and do the shown numbers come out?"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from rules.library.cases import Case
from rules.library.evidence import Evidence
from rules.library.given import Given
from rules.library.labels import Labels
from rules.library.loading import Library
from rules.library.pack import Pack
from rules.library.quantity import ONE, Quantity
from rules.library.rule import Kind, Rule
from rules.library.value import Value

TIE = 1e-9
ASK = "not stated in this case"


def complaints(pack: Pack, library: Library) -> Iterator[str]:
    """Everything that keeps the pack's rules from being trusted; nothing when all is well."""
    for rule in pack.rules:
        cases = [case for case in pack.cases if case.shows(rule)]
        yield from _enough(rule, cases)
        for case in cases:
            yield from (f"{case.file}: {case.name}: {said}" for said in run_case(rule, case, pack, library))
    for declared in pack.declared:
        for example in declared.examples:
            if said := example.differs(declared.judge(example.given)):
                yield f"declared/{declared.slug}.yaml: {example.name}: {said}"


def _enough(rule: Rule, cases: list[Case]) -> Iterator[str]:
    shown = {case.kind for case in cases}
    wanted = [Kind.PASS, rule.said(fails=True), *([Kind.NOT_APPLICABLE] if rule.when else []), *([Kind.OPEN] if rule.undecided else [])]
    if rule.outcome is not Kind.FAIL:
        wanted.remove(Kind.PASS)
    for kind in wanted:
        if kind not in shown:
            yield f"{rule.slug}{', part ' + rule.part if rule.part else ''}: no case shows {kind}"


def run_case(rule: Rule, case: Case, pack: Pack, library: Library) -> Iterator[str]:
    """What does not come out as the case says."""
    evidence = evidence_of(case, pack, library)
    for name, expected in case.expect.items():
        came = float(np.asarray(evidence[name], dtype=np.float64).reshape(-1)[0])
        if not math.isclose(came, expected, rel_tol=max(case.tolerance, 1e-12), abs_tol=1e-12):
            yield f"{name} comes out as {came:.9g}, {expected:.9g} is expected"
    said = kind_of(rule, evidence)
    if said is not case.kind:
        yield f"the rule says {said}, {case.kind} is expected"


def evidence_of(case: Case, pack: Pack, library: Library) -> Evidence:
    """The case's quantities with the numbers and formulas of the pack and all it builds on, at one place of one combination."""
    packs = [library.pack(id) for id in library.closure([pack.id])]
    book: Mapping[str, Quantity] = {quantity.name: quantity for each in packs for quantity in each.quantities} | {ONE.name: ONE}
    values: Mapping[str, Value] = {value.name: value for each in packs for value in each.values if value.overrides is None}
    given = {name: Given(name, name, "", name, _value(value), ASK if _unstated(value) else "") for name, value in case.given.items()}
    return Evidence(book, values, given)


def _unstated(value: Any) -> bool:
    return value is None


def _value(value: Any) -> Any:
    if isinstance(value, str):
        return Labels(words=(value,), codes=np.zeros((1, 1), dtype=np.intp))
    if isinstance(value, bool):
        return np.array([[value]])
    return np.array([[math.nan if value is None else value]], dtype=np.float64)


def kind_of(rule: Rule, evidence: Evidence) -> Kind:
    """What the rule says of this one place."""
    if rule.when is not None:
        if _any(evidence.gap(rule.when.name)):
            return Kind.OPEN
        if not _any(evidence[rule.when.name]):
            return Kind.NOT_APPLICABLE
    unknown = _any(evidence.gap(rule.demand.name)) or _any(evidence.gap(rule.limit.name))
    demand, limit = _number(evidence[rule.demand.name]), _number(evidence[rule.limit.name])
    if unknown or math.isnan(demand) or math.isnan(limit) or (rule.undecided is not None and _any(evidence[rule.undecided.name])):
        return Kind.OPEN
    return rule.said(fails=demand > limit * (1.0 + TIE))


def _any(value: Any) -> bool:
    return bool(np.any(value))


def _number(value: Any) -> float:
    return float(np.max(np.asarray(value, dtype=np.float64)))
