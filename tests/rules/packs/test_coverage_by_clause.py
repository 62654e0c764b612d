"""Which clauses of sections 2 to 9 the timber pack judges: `birdsmouth packs show eurocode-timber --clauses` prints the list."""

from __future__ import annotations

import pytest

from rules.library.clauses import clauses_of, unlisted
from rules.library.loading import load_library


@pytest.mark.parametrize("pack", load_library().packs, ids=lambda pack: pack.id)
def test_every_rule_stands_beside_a_clause_and_every_clause_says_what_becomes_of_it(pack):
    assert unlisted(pack) == ()
    slugs = {rule.slug for rule in (*pack.rules, *pack.declared)}
    clauses = clauses_of(pack)
    assert {slug for clause in clauses for slug in clause.judged_by} == slugs
    for clause in clauses:
        assert bool(clause.judged_by) == (clause.state == "judged") != bool(clause.because), clause


def test_every_section_from_two_to_nine_is_there(shipped):
    assert {clause.clause[0] for clause in shipped.pack("eurocode-timber").clauses} >= set("2456789")
