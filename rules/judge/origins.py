"""Where the numbers of a report come from: whose pack, which layer and edition, in place of what, and why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from rules.judge.judgement import Judgement
from rules.library.choosing import Selection
from rules.library.declared import DeclaredRule
from rules.library.evidence import Evidence
from rules.library.pack import Pack
from rules.library.rule import Rule
from rules.library.value import Value
from rules.subject.material import Material

Document = dict[str, Any]


def numbers_part(names: Iterable[str], selection: Selection) -> Document:
    """Every number of a pack that the shown working names: what it is, who says so, and what it stands in place of."""
    packs = _packs(selection)
    return {name: _told(selection.values[name], packs) for name in sorted(set(names))}


def _packs(selection: Selection) -> Mapping[str, Pack]:
    return {chosen.pack.id: chosen.pack for chosen in selection.packs}


def _told(value: Value, packs: Mapping[str, Pack]) -> Document:
    beneath = [_layer(each, packs) for each in _beneath(value)]
    return {"symbol": value.symbol, "what": value.what, "unit": value.unit, **_layer(value, packs), "in_place_of": beneath}


def _layer(value: Value, packs: Mapping[str, Pack]) -> Document:
    """One layer's word on a number. value: of a table, None; what it gives stands in the working."""
    pack = packs.get(value.pack)
    return {
        "value": value.number,
        "by": list(value.table.by) if value.table else None,
        "pack": value.pack,
        "layer": pack.layer if pack else "caller",
        "edition": pack.edition if pack else None,
        "release": pack.release if pack else None,
        "because": value.overridden_because,
        "source": value.cites.place(),
        "seen": value.cites.seen,
    }


def _beneath(value: Value) -> Iterator[Value]:
    while value.beneath is not None:
        value = value.beneath
        yield value


def grades_part(materials: Iterable[Material]) -> list[Document]:
    """Every grade of the design: which pack tells its strengths, and where that has them from."""
    return [
        {"id": each.id, "kind": each.kind, "pack": each.pack, "source": each.source, "seen": each.seen, "invented": each.invented}
        for each in {(each.pack, each.id): each for each in materials}.values()
    ]


def changed_for(judgement: Judgement, selection: Selection, evidence: Evidence | None, replaced: frozenset[str]) -> list[Document]:
    """The numbers the caller replaced that this judgement rests on, each with its reason and what it replaced."""
    if not replaced:
        return []
    packs = _packs(selection)
    touched = [name for name in dict.fromkeys(_read(judgement, evidence)) if name in replaced]
    return [{"name": name, **_told(selection.values[name], packs)} for name in touched]


def _read(judgement: Judgement, evidence: Evidence | None) -> Iterator[str]:
    """The names of numbers a judgement may rest on."""
    rule = judgement.rule
    if isinstance(rule, DeclaredRule):
        yield from (name.removeprefix("value.") for name in rule.reads)
        yield from (name for expression in rule.expressions for name in expression.tables)
    elif isinstance(rule, Rule) and evidence is not None:
        for quantity in (rule.when, rule.demand, rule.limit, rule.undecided):
            yield from evidence.walk(quantity.name) if quantity else ()
