"""Packs and rules as plain data that explains itself: what holds where and since when, by whose word, with which numbers."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from rules.library.cases import Case
from rules.library.clauses import Clause, clauses_of
from rules.library.declared import DeclaredRule
from rules.library.facts import BY_SCOPE
from rules.library.loading import Library
from rules.library.pack import Expected, Pack
from rules.library.quantity import ONE, Quantity
from rules.library.rule import Rule
from rules.library.value import Interval, Key, Value
from rules.subject.material import Material

Page = dict[str, Any]


def pack_list(library: Library) -> list[Page]:
    """Every usable pack in short, by id."""
    return [_head(pack) for pack in library.packs]


def pack_page(library: Library, id: str) -> Page:
    """All of one pack. Raises KeyError."""
    pack = library.pack(id)
    return _head(pack) | {
        "builds_on": list(pack.builds_on),
        "built_on_by": [other.id for other in library.packs if id in other.builds_on],
        "not_covered": list(pack.not_covered),
        "clauses": [_clause(clause) for clause in clauses_of(pack)],
        "expected_actions": {kind: [_expected(each) for each in asked] for kind, asked in pack.expected.items()},
        "values": [_value(value) for value in pack.values],
        "grades": [_grade(grade) for grade in pack.materials],
        "rules": [_rule_head(rule) for rule in _rules(pack)],
        "quantities": [_quantity(quantity, _Symbols(library, pack)) for quantity in pack.quantities],
    }


def rule_page(library: Library, pack_id: str, slug: str) -> Page:
    """All of one rule, every part of it. Raises KeyError when the pack or the rule is not known."""
    pack = library.pack(pack_id)
    rules = [rule for rule in _rules(pack) if rule.slug == slug]
    if not rules:
        raise KeyError(slug)
    first = rules[0]
    judgements = [_declared(rule, pack) if isinstance(rule, DeclaredRule) else _formula(rule, library, pack) for rule in rules]
    return _rule_head(first) | {
        "pack_title": pack.title,
        "edition": pack.edition,
        "release": pack.release,
        "how": "declared" if isinstance(first, DeclaredRule) else "formula",
        "why": first.why,
        "remedies": list(dict.fromkeys(each for rule in rules for each in rule.remedies)),
        "citations": [cites.plain() for cites in dict.fromkeys(rule.cites for rule in rules)],
        "judgements": judgements,
    }


def _clause(clause: Clause) -> Page:
    return {
        "clause": clause.clause,
        "what": clause.what,
        "state": clause.state,
        "because": clause.because or None,
        "judged_by": list(clause.judged_by),
    }


def _rules(pack: Pack) -> tuple[Rule | DeclaredRule, ...]:
    return (*pack.rules, *pack.declared)


def _head(pack: Pack) -> Page:
    return {
        "id": pack.id,
        "title": pack.title,
        "what": pack.what,
        "layer": pack.layer,
        "tradition": pack.tradition,
        "document": pack.document,
        "edition": pack.edition,
        "release": pack.release,
        "pin": pack.pin,
        "digest": pack.digest,
        "engine": pack.engine,
        "origin": pack.origin,
        "required": pack.required,
        "starts": pack.starts.isoformat() if pack.starts else None,
        "ends": pack.ends.isoformat() if pack.ends else None,
        "regions": list(pack.regions) or ["everywhere"],
        "component_types": list(pack.component_types) or ["every"],
        "rule_count": len(_rules(pack)),
        "value_count": len(pack.values),
        "grade_count": len(pack.materials),
        "seen": dict(sorted(Counter(_seen(pack)).items())),
    }


def _seen(pack: Pack) -> Iterator[str]:
    yield from (value.cites.seen for value in pack.values)
    yield from (grade.seen for grade in pack.materials)
    yield from (rule.cites.seen for rule in _rules(pack))


def _expected(each: Expected) -> Page:
    return {
        "id": each.id,
        "what": each.what,
        "natures": list(each.natures),
        "roles": list(each.roles),
        "at_least": each.at_least,
        "on_two_slopes": each.on_two_slopes,
        "ask": each.ask,
    }


def _value(value: Value) -> Page:
    page: Page = {
        "name": value.name,
        "symbol": value.symbol,
        "unit": value.unit,
        "what": value.what,
        "value": value.number,
        "choices": list(value.choices) or None,
        "table": None,
        "starts": value.starts.isoformat() if value.starts else None,
        "ends": value.ends.isoformat() if value.ends else None,
        "overrides": value.overrides,
        "citation": value.cites.plain(),
    }
    if value.table is not None:
        rows = [{"keys": [_key(key) for key in keys], "result": result} for keys, result in value.table.rows]
        page["table"] = {"by": list(value.table.by), "rows": rows}
    return page


def _key(key: Key) -> str:
    if not isinstance(key, Interval):
        return "any" if key == "*" else key
    above = f"above {key.above:g}" if math.isfinite(key.above) else ""
    up_to = f"up to {key.up_to:g}" if math.isfinite(key.up_to) else ""
    return " ".join(each for each in (above, up_to) if each)


def _grade(grade: Material) -> Page:
    wood = {True: "softwood", False: "hardwood", None: None}[grade.softwood]
    return {
        "id": grade.id,
        "kind": grade.kind,
        "wood": wood,
        "properties": dict(grade.properties),
        "source": grade.source,
        "seen": grade.seen,
    }


def _rule_head(rule: Rule | DeclaredRule) -> Page:
    return {
        "id": rule.id,
        "slug": rule.slug,
        "part": rule.part,
        "pack": rule.pack,
        "title": rule.title,
        "scope": str(rule.scope),
        "purpose": str(rule.purpose),
        "severity": rule.severity,
        "mandatory": rule.mandatory,
        "outcome": str(rule.outcome),
        "message": rule.message,
        "citation": rule.cites.plain(),
    }


class _Symbols:
    """Everything a formula of this pack may name, from the pack and all it builds on."""

    def __init__(self, library: Library, pack: Pack) -> None:
        packs = [library.pack(id) for id in library.closure([pack.id])]
        self.book = {quantity.name: quantity for each in packs for quantity in each.quantities} | {"ONE": ONE}
        self.values = {value.name: value for each in packs for value in each.values if value.overrides is None}
        self.printed = {name: value.symbol for name, value in self.values.items()}
        self.printed |= {name: quantity.symbol for name, quantity in self.book.items()}
        self.reference = {each.name: each for other in packs for each in other.reference}
        self.printed |= {name: each.symbol for name, each in self.reference.items()}

    def symbol(self, name: str) -> str:
        """As printed; of a word that names nothing, the word."""
        return self.printed.get(name, name)

    def walk(self, names: Iterable[str]) -> list[str]:
        """Every name below these, needs before what needs them."""
        met: dict[str, None] = {}

        def visit(name: str) -> None:
            if name not in met:
                for need in self.needs(name):
                    visit(need)
                met.setdefault(name)

        for name in names:
            visit(name)
        return list(met)

    def given(self, name: str) -> Page:
        """What is no formula and no number of a pack: a value of the grade, or something of the frame and its forces."""
        told = self.reference.get(name)
        what = told.what if told else ""
        return {"name": name, "what": what, "unit": told.unit if told else None, "ask": None}

    def needs(self, name: str) -> tuple[str, ...]:
        if name in self.book:
            return self.book[name].needs
        table = self.values[name].table if name in self.values else None
        return table.by if table else ()


def _quantity(quantity: Quantity, symbols: _Symbols) -> Page:
    return {
        "name": quantity.name,
        "symbol": quantity.symbol,
        "unit": quantity.unit,
        "expression": quantity.expression(symbols.symbol),
        "needs": list(quantity.needs),
        "citation": quantity.cites.plain() if quantity.cites else None,
    }


def _judgement(rule: Rule | DeclaredRule) -> Page:
    return {
        "part": rule.part,
        "title": rule.title,
        "severity": rule.severity,
        "message": rule.message,
        "citation": rule.cites.plain(),
        "otherwise": rule.because or None,
    }


def _in_words(when: str | None, asked: str, limit: str | None = None, *, unless: str | None = None) -> str:
    """The rule in one sentence, made of its own expressions."""
    where = f"Where {when}: " if when else "Everywhere: "
    asks = f"{asked} must hold" if limit is None else f"{asked} must not exceed {limit}"
    return " ".join(f"{where}{asks}{f', unless {unless}' if unless else ''}.".split())


def _formula(rule: Rule, library: Library, pack: Pack) -> Page:
    symbols = _Symbols(library, pack)
    names = symbols.walk(each.name for each in (rule.when, rule.demand, rule.limit) if each and each is not ONE)
    sides = [each.expression(symbols.symbol) if each is not ONE else "1" for each in (rule.demand, rule.limit)]
    return _judgement(rule) | {
        "in_words": _in_words(rule.when.expression(symbols.symbol) if rule.when else None, *sides),
        "under": list(rule.under),
        "applies": _quantity(rule.when, symbols) if rule.when else None,
        "undecided": [{"when": _quantity(rule.undecided, symbols)["expression"], "ask": rule.ask}] if rule.undecided else [],
        "demand": _quantity(rule.demand, symbols),
        "limit": _quantity(rule.limit, symbols),
        "formula": [_quantity(symbols.book[name], symbols) for name in names if name in symbols.book and name != "ONE"],
        "parameters": [_value(symbols.values[name]) for name in names if name in symbols.values and name not in symbols.book],
        "from_the_design": [symbols.given(name) for name in names if name not in symbols.book and name not in symbols.values],
        "examples": [_case(case) for case in pack.cases if case.shows(rule)],
    }


def _case(case: Case) -> Page:
    return {
        "name": case.name,
        "given": dict(case.given),
        "gives": dict(case.expect),
        "tolerance": case.tolerance,
        "expect": str(case.kind),
        "source": case.source,
    }


def _declared(rule: DeclaredRule, pack: Pack) -> Page:
    texts: Mapping[str, str | None] = {
        name: expression.text if expression else None
        for name, expression in (("when", rule.when), ("unless", rule.unless), ("require", rule.require))
    }
    facts = {fact.name: fact for fact in BY_SCOPE[rule.scope]}
    named = dict.fromkeys(name.removesuffix("_stated") if name not in facts else name for name in rule.reads)
    sides = [each.text for each in rule.sides] or [texts["require"] or ""]
    return _judgement(rule) | {
        "in_words": _in_words(texts["when"], *sides, unless=texts["unless"]),
        "applies": texts["when"],
        "unless": texts["unless"],
        "undecided": [{"when": each.when.text, "ask": each.ask} for each in rule.undecided],
        "require": texts["require"],
        "demand": {"expression": rule.demand.text, "unit": rule.unit} if rule.demand else None,
        "limit": {"expression": rule.limit.text, "unit": rule.unit} if rule.limit else None,
        "parameters": [_value(value) for value in pack.values if _reads(rule, value)],
        "from_the_design": [
            {"name": name, "what": facts[name].what, "unit": facts[name].unit, "ask": facts[name].ask or None}
            for name in named
            if name in facts
        ],
        "examples": [
            {"name": each.name, "given": dict(each.given), "expect": str(each.expect), "asks": each.asks or None} for each in rule.examples
        ],
    }


def _reads(rule: DeclaredRule, value: Value) -> bool:
    if value.table is None:
        return f"value.{value.name}" in rule.reads
    return any(value.name in expression.tables for expression in rule.expressions)
