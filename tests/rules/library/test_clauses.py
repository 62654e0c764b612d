"""clauses.yaml: what becomes of each clause, and what is said of a list that cannot be right."""

from __future__ import annotations

import pytest

from rules.library.clauses import clauses_of
from rules.library.linting import lint
from rules.library.reading import PackSource, read_pack
from rules.library.skeleton import RULE, skeleton
from rules.library.yaml_source import PackRefused

GOOD = f'- {{clause: "1", what: webs, judged_by: [{RULE}]}}\n- {{clause: "2", what: posts, not_applicable: no post is a web}}\n'


def source(clauses: str) -> PackSource:
    files = {name: text for name, text in skeleton("hill-practice", "The hill").items() if not name.startswith(".")}
    return PackSource("hill", files=files | {"clauses.yaml": clauses})


def test_a_list_is_read():
    pack = read_pack(source(GOOD)).pack
    assert [(each.clause, each.state, each.judged_by, each.because) for each in pack.clauses] == [
        ("1", "judged", (RULE,), ""),
        ("2", "notApplicable", (), "no post is a web"),
    ]
    assert lint(source(GOOD)).faults == ()


def test_without_a_list_the_cited_clauses_stand_for_it():
    files = {name: text for name, text in skeleton("hill-practice", "The hill").items() if not name.startswith(".")}
    (clause,) = clauses_of(read_pack(PackSource("hill", files=files)).pack)
    assert (clause.clause, clause.state, clause.judged_by) == ("handling", "judged", (RULE,))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("clause: 1", "clauses.yaml is a list"),
        ('- {clause: "1", what: webs, judged_by: [no-such-rule]}', "the pack has no rule no-such-rule"),
        ('- {clause: "1", what: webs}', "a clause has one of"),
        ('- {clause: "1", what: webs, judged_by: [webs-deep-enough], not_implemented: later}', "a clause has one of"),
        (f"{GOOD}- {{clause: '1', what: again, not_implemented: later}}", "1 stands twice"),
        ('- {clause: "1", judged_by: [webs-deep-enough]}', "what"),
    ],
)
def test_what_cannot_be_right_is_refused_with_its_place(text, said):
    with pytest.raises(PackRefused) as refusal:
        read_pack(source(text))
    assert any(said in str(fault) and fault.file == "clauses.yaml" and fault.line for fault in refusal.value.faults), refusal.value.faults


def test_a_rule_beside_no_clause_is_a_fault():
    (fault,) = lint(source('- {clause: "2", what: posts, not_implemented: later}\n')).faults
    assert f"the rule {RULE} stands beside no clause" in str(fault)
