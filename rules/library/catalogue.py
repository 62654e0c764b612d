"""Packs and rules as plain data that explains itself: what holds where and since when, by whose word, with which numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rules.library.clauses import Clause, clauses_of
from rules.library.declared import DeclaredRule
from rules.library.judgements import judgement_entry
from rules.library.loading import Library
from rules.library.pack import Expected, Pack
from rules.library.rule import Rule
from rules.library.symbols import Page, Symbols, quantity_entry, value_entry
from rules.subject.material import Material


def pack_list(library: Library) -> list[Page]:
    """Every usable pack in short, by id."""
    return [_head(pack) for pack in library.packs]


def pack_page(library: Library, id: str) -> Page:
    """All of one pack. Raises KeyError."""
    pack = library.pack(id)
    symbols = Symbols(library, pack)
    return _head(pack) | {
        "builds_on": list(pack.builds_on),
        "built_on_by": [other.id for other in library.packs if id in other.builds_on],
        "not_covered": list(pack.not_covered),
        "clauses": [_clause(clause) for clause in clauses_of(pack)],
        "expected_actions": {kind: [_expected(each) for each in asked] for kind, asked in pack.expected.items()},
        "values": [value_entry(value) for value in pack.values],
        "grades": [_grade(grade) for grade in pack.materials],
        "rules": [_rule_head(rule) for rule in _rules(pack)],
        "quantities": [quantity_entry(quantity, symbols) for quantity in pack.quantities],
    }


def rule_page(library: Library, pack_id: str, slug: str) -> Page:
    """All of one rule, every part of it. Raises KeyError when the pack or the rule is not known."""
    pack = library.pack(pack_id)
    rules = [rule for rule in _rules(pack) if rule.slug == slug]
    if not rules:
        raise KeyError(slug)
    first = rules[0]
    return _rule_head(first) | {
        "pack_title": pack.title,
        "edition": pack.edition,
        "release": pack.release,
        "how": "declared" if isinstance(first, DeclaredRule) else "formula",
        "why": first.why,
        "remedies": list(dict.fromkeys(each for rule in rules for each in rule.remedies)),
        "citations": [cites.plain() for cites in dict.fromkeys(rule.cites for rule in rules)],
        "judgements": [judgement_entry(rule, library, pack) for rule in rules],
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
