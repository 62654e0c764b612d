"""The facts a declared rule may name are the ones the judge fills in, each of the kind it is said to be."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

import service.demo.designs
from rules.judge import Options, check
from rules.library.columns import Columns
from rules.library.declared import DeclaredRule, Outcome
from rules.library.facts import BY_SCOPE
from rules.library.loading import Library, library_of, load_library
from rules.library.reading import PackSource
from rules.library.rule import Kind, Scope
from service.schemas import load

KINDS = {"double": float, "string": str, "bool": bool}
DESIGNS = sorted(Path(service.demo.designs.__file__).parent.glob("*.json"))
RULE = """
id: {scope}-rule
title: A rule
scope: {scope}
severity: note
purpose: practice
why: It is a test.
require: design.is_roof
message: "No."
cite: {{clause: "1", seen: practice}}
examples:
  - {{name: yes, given: {{design.is_roof: true}}, expect: pass}}
  - {{name: no, given: {{design.is_roof: false}}, expect: fail}}
"""


@pytest.fixture
def rows(folder, head, monkeypatch):
    """Every row of facts the judge makes for a document, by scope."""
    files = {f"declared/{scope}-rule.yaml": RULE.format(scope=scope) for scope in BY_SCOPE}
    mine = library_of([PackSource(folder("facts", {"pack.yaml": head(id="facts")} | files), None, "mounted")])
    library = Library((*load_library().packs, *mine.packs))
    made = {scope: [] for scope in BY_SCOPE}

    def record(rule: DeclaredRule, columns: Columns) -> list[Outcome]:
        made[rule.scope] += [dict(row) for row in columns.rows]
        return [Outcome(Kind.PASS) for _ in columns.rows]

    monkeypatch.setattr("rules.judge.declared_judging.MANY", 0)
    monkeypatch.setattr("rules.judge.declared_judging.judge_all", record)

    def run(document: bytes):
        check(load(document), library, as_of=datetime.date(2026, 11, 25), options=Options())
        return made

    return run


@pytest.mark.parametrize("file", DESIGNS, ids=lambda file: file.stem)
def test_every_fact_is_filled_in_and_nothing_else(rows, file):
    made = rows(file.read_bytes())
    assert all(made[scope] for scope in BY_SCOPE)
    for scope, facts in BY_SCOPE.items():
        for row in made[scope]:
            assert set(row) == {fact.name for fact in facts}
            for fact in facts:
                value = row[fact.name]
                assert (value is None and fact.nullable) or type(value) is KINDS[fact.kind], (fact.name, value)


def test_a_fact_is_unit_suffixed_and_asks_a_question():
    for facts in BY_SCOPE.values():
        for fact in facts:
            unit = {"mm": "_mm", "kN": "_kn", "kg": "_kg", "m": "_m", "deg": "_deg"}.get(fact.unit, "")
            assert fact.name.endswith(unit), fact.name
            assert not fact.ask or "?" in fact.ask, fact.name
            assert not (fact.kind == "bool" and fact.nullable), fact.name


def test_no_name_stands_twice_in_a_scope():
    for scope in Scope:
        names = [fact.name for fact in BY_SCOPE.get(scope, ())]
        assert len(set(names)) == len(names)
