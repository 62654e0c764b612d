"""How a rule judges, as plain data: its sentence, its sides and conditions, what it rests on, and its examples."""

from __future__ import annotations

from collections.abc import Mapping

from rules.library.cases import Case
from rules.library.declared import DeclaredRule
from rules.library.facts import BY_SCOPE
from rules.library.loading import Library
from rules.library.pack import Pack
from rules.library.quantity import ONE
from rules.library.rule import Rule
from rules.library.symbols import Page, Symbols, quantity_entry, value_entry
from rules.library.value import Value


def judgement_entry(rule: Rule | DeclaredRule, library: Library, pack: Pack) -> Page:
    """How one part of a rule judges: in words, by which formula or expression, from which numbers, with which examples."""
    return _declared(rule, pack) if isinstance(rule, DeclaredRule) else _formula(rule, library, pack)


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
    symbols = Symbols(library, pack)
    names = symbols.walk(each.name for each in (rule.when, rule.demand, rule.limit) if each and each is not ONE)
    sides = [each.expression(symbols.symbol) if each is not ONE else "1" for each in (rule.demand, rule.limit)]
    return _judgement(rule) | {
        "in_words": _in_words(rule.when.expression(symbols.symbol) if rule.when else None, *sides),
        "under": list(rule.under),
        "applies": quantity_entry(rule.when, symbols) if rule.when else None,
        "undecided": [{"when": quantity_entry(rule.undecided, symbols)["expression"], "ask": rule.ask}] if rule.undecided else [],
        "demand": quantity_entry(rule.demand, symbols),
        "limit": quantity_entry(rule.limit, symbols),
        "formula": [quantity_entry(symbols.book[name], symbols) for name in names if name in symbols.book and name != "ONE"],
        "parameters": [value_entry(symbols.values[name]) for name in names if name in symbols.values and name not in symbols.book],
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
        "parameters": [value_entry(value) for value in pack.values if _reads(rule, value)],
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
