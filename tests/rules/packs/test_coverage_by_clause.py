"""Which clauses of sections 2 to 9 the timber pack judges: `pytest -s tests/rules/packs/test_coverage_by_clause.py` prints the table."""

from __future__ import annotations

import json
from pathlib import Path

CLAUSES = json.loads((Path(__file__).parent / "timber_clauses.json").read_text("utf-8"))


def test_every_clause_is_judged_or_says_why_not_and_every_rule_stands_beside_one(shipped):
    slugs = {rule.slug for rule in shipped.pack("eurocode-timber").rules}
    judged = {slug for said in CLAUSES.values() if isinstance(said, list) for slug in said}
    for clause, said in CLAUSES.items():
        print(f"{clause:60} {'judged: ' + ', '.join(said) if isinstance(said, list) else said}")
        assert isinstance(said, list) or said.startswith(("not applicable: ", "not implemented")), clause
    assert judged == slugs


def test_every_section_from_two_to_nine_is_there():
    assert {clause[0] for clause in CLAUSES} >= set("2456789")
