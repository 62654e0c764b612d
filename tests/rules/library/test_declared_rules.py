"""How a declared rule judges: three-valued, failing closed, with the question that would decide it."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from rules.library.declared import DeclaredRule
from rules.library.reading import PackSource, read_pack
from rules.library.rule import Kind
from rules.library.sentences import readable
from rules.library.yaml_source import PackRefused

VALUES = """
- {name: gap_max_mm, symbol: g, unit: mm, what: gap, value: 6.0, cite: {clause: "1", seen: practice}}
- {name: word, symbol: w, unit: "1", what: a word, value: hanger, cite: {clause: "1", seen: practice}}
- name: rows
  symbol: n
  unit: "1"
  what: rows by span
  by: [span_mm]
  rows: [[{up_to: 4000}, 0], [{above: 4000, up_to: 8000}, 1]]
  cite: {clause: "1", seen: practice}
- name: areas
  symbol: a
  unit: "1"
  what: area by district and parish
  by: [district, parish]
  rows: [[hart, yateley, inside], [hart, "*", outside], ["*", "*", elsewhere]]
  cite: {clause: "1", seen: practice}
"""
FRAME = """
id: rule
title: The rule holds
scope: {scope}
severity: error
purpose: practice
why: It is a test.
{body}
cite: {{clause: "1", seen: practice}}
examples: []
"""


@pytest.fixture
def rule(folder: Callable[..., Path], head: Callable[..., str], monkeypatch: pytest.MonkeyPatch) -> Callable[..., DeclaredRule]:
    """A rule of this body, its examples left out of account."""
    monkeypatch.setattr("rules.library.declared_reading._Reading.enough", lambda *_: None)

    def make(body: str, scope: str = "support") -> DeclaredRule:
        text = FRAME.format(body=body if "message:" in body else body + '\nmessage: "wrong"', scope=scope)
        where = folder("pack", {"pack.yaml": head(), "values.yaml": VALUES, "declared/rule.yaml": text})
        return read_pack(PackSource(where)).pack.declared[0]

    return make


GAP = "when: support.seat_on == value.word\ndemand: support.gap_found_mm\nlimit: value.gap_max_mm\nbecause: sits in no hanger"


@pytest.mark.parametrize(
    ("row", "kind"),
    [
        ({"support.seat_on": "hanger", "support.gap_found_mm": 5.9}, Kind.PASS),
        ({"support.seat_on": "hanger", "support.gap_found_mm": 6.0}, Kind.PASS),
        ({"support.seat_on": "hanger", "support.gap_found_mm": 6.0 * (1 + 5e-10)}, Kind.PASS),
        ({"support.seat_on": "hanger", "support.gap_found_mm": 6.0 * (1 + 2e-9)}, Kind.FAIL),
        ({"support.seat_on": "masonry", "support.gap_found_mm": 60.0}, Kind.NOT_APPLICABLE),
        ({"support.seat_on": "masonry"}, Kind.NOT_APPLICABLE),
        ({"support.seat_on": "hanger"}, Kind.OPEN),
        ({"support.seat_on": "hanger", "support.gap_found_mm": None}, Kind.OPEN),
        ({"support.gap_found_mm": 1.0}, Kind.OPEN),
        ({}, Kind.OPEN),
        ({"support.seat_on": "hanger", "support.gap_found_mm": math.nan}, Kind.OPEN),
        ({"support.seat_on": "hanger", "support.gap_found_mm": -math.inf}, Kind.OPEN),
        ({"support.seat_on": "hanger", "support.gap_found_mm": "six"}, Kind.OPEN),
        ({"support.seat_on": 7.0, "support.gap_found_mm": 1.0}, Kind.OPEN),
    ],
)
def test_it_passes_fails_or_asks(rule, row, kind):
    assert rule(GAP).judge(row).kind is kind


def test_an_open_one_asks_the_question_of_the_fact(rule):
    outcome = rule(GAP).judge({"support.seat_on": "hanger"})
    assert outcome.asks == ("What gap was found at the hanger? (as_built.at_supports)",)
    assert rule(GAP).judge({}).asks == ("What does the component bear on? (seat.on)",)


def test_it_says_why_it_does_not_apply(rule):
    assert rule(GAP).judge({"support.seat_on": "masonry"}).because == "sits in no hanger"
    without = rule(GAP.replace("\nbecause: sits in no hanger", ""))
    assert without.judge({"support.seat_on": "masonry"}).because == "it holds only where support.seat_on == value.word"


def test_the_numbers_and_what_was_read_come_with_it(rule):
    outcome = rule(GAP).judge({"support.seat_on": "hanger", "support.gap_found_mm": 9.0})
    assert (outcome.demand, outcome.limit) == (9.0, 6.0)
    assert outcome.read == ("support.seat_on", "value.word", "support.gap_found_mm", "value.gap_max_mm")


EXCUSED = GAP + "\nunless: support.bearing_mm >= 100.0"


@pytest.mark.parametrize(
    ("gap", "bearing", "kind"),
    [
        (5.0, None, Kind.PASS),
        (9.0, None, Kind.OPEN),
        (None, None, Kind.OPEN),
        (9.0, 120.0, Kind.NOT_APPLICABLE),
        (9.0, 90.0, Kind.FAIL),
        (5.0, 120.0, Kind.NOT_APPLICABLE),
    ],
)
def test_an_excuse_is_asked_for_only_where_it_matters(rule, gap, bearing, kind):
    row = {"support.seat_on": "hanger", "support.gap_found_mm": gap, "support.bearing_mm": bearing}
    outcome = rule(EXCUSED).judge(row)
    assert outcome.kind is kind
    if kind is Kind.NOT_APPLICABLE:
        assert outcome.because == "is excused where support.bearing_mm >= 100.0"
    if kind is Kind.OPEN:
        assert "How long is the bearing? (seat.length_mm)" in outcome.asks


def test_undecided_speaks_before_the_comparison_and_in_order(rule):
    made = rule(
        GAP
        + """
undecided:
  - {when: "!support.bearing_mm_stated", ask: First?}
  - {when: "support.bearing_mm > 500.0", ask: Second?}
"""
    )
    row = {"support.seat_on": "hanger", "support.gap_found_mm": 9.0}
    assert made.judge(row).asks == ("First?",)
    assert made.judge(row | {"support.bearing_mm": 600.0}).asks == ("Second?",)
    assert made.judge(row | {"support.bearing_mm": 60.0}).kind is Kind.FAIL
    assert made.judge({"support.seat_on": "masonry"}).kind is Kind.NOT_APPLICABLE


def test_an_undecided_condition_that_cannot_be_known_is_open(rule):
    made = rule(GAP + "\nundecided:\n  - {when: support.bearing_mm > 500.0, ask: Second?}")
    outcome = made.judge({"support.seat_on": "hanger", "support.gap_found_mm": 1.0})
    assert (outcome.kind, outcome.asks) == (Kind.OPEN, ("How long is the bearing? (seat.length_mm)",))


@pytest.mark.parametrize(
    ("row", "kind"),
    [
        ({"support.bearing_mm": 90.0}, Kind.PASS),
        ({"support.bearing_mm": 10.0, "support.gap_found_mm": 1.0}, Kind.PASS),
        ({"support.bearing_mm": 10.0, "support.gap_found_mm": 9.0}, Kind.FAIL),
        ({"support.gap_found_mm": 1.0}, Kind.PASS),
        ({"support.gap_found_mm": 9.0}, Kind.OPEN),
        ({"support.bearing_mm": 10.0}, Kind.OPEN),
        ({}, Kind.OPEN),
    ],
)
def test_or_is_true_as_soon_as_one_side_is_known_to_be(rule, row, kind):
    assert rule("require: support.bearing_mm >= 75.0 || support.gap_found_mm <= 3.0").judge(row).kind is kind


def test_informational_instead_of_fail(rule):
    made = rule("outcome: informational\nrequire: support.bearing_mm >= 75.0")
    assert made.judge({"support.bearing_mm": 10.0}).kind is Kind.INFORMATIONAL
    assert made.judge({"support.bearing_mm": 80.0}).kind is Kind.PASS
    assert made.judge({}).kind is Kind.OPEN


@pytest.mark.parametrize(
    ("span", "rows", "kind"),
    [(4000.0, 0.0, Kind.PASS), (4001.0, 0.0, Kind.FAIL), (4001.0, 1.0, Kind.PASS), (8000.5, 9.0, Kind.OPEN), (None, 9.0, Kind.OPEN)],
)
def test_a_table_by_intervals(rule, span, rows, kind):
    made = rule('unit: "1"\ndemand: look_up_number("rows", design.span_mm)\nlimit: bracing.noggin_rows', scope="design")
    assert made.judge({"design.span_mm": span, "bracing.noggin_rows": rows}).kind is kind


def test_a_row_that_is_not_there_says_so(rule):
    made = rule('unit: "1"\ndemand: look_up_number("rows", design.span_mm)\nlimit: bracing.noggin_rows', scope="design")
    assert "the table rows has no row for 9000.0" in made.judge({"design.span_mm": 9000.0, "bracing.noggin_rows": 1.0}).asks[0]


@pytest.mark.parametrize(
    ("district", "parish", "kind"),
    [("HART", " Yateley ", Kind.PASS), ("hart", "odiham", Kind.FAIL), ("leeds", "yateley", Kind.FAIL), ("hart", None, Kind.OPEN)],
)
def test_a_table_by_words(rule, district, parish, kind):
    made = rule('require: look_up("areas", lower(site.district), lower(site.parish)) == "inside"')
    assert made.judge({"site.district": district, "site.parish": parish}).kind is kind


@pytest.mark.parametrize(
    ("expression", "said"),
    [
        ("sqrt(0.0 - support.bearing_mm)", "no square root of -90"),
        ("ratio(1.0, support.bearing_mm - 90.0)", "1 divided by nought"),
        ("support.bearing_mm" + " * 1.0e12" * 26, "beyond all bounds"),
    ],
)
def test_what_cannot_be_worked_out_is_open_with_the_reason(rule, expression, said):
    outcome = rule(f'unit: "1"\ndemand: {expression}\nlimit: 1.0').judge({"support.bearing_mm": 90.0})
    assert outcome.kind is Kind.OPEN
    assert said in outcome.asks[0]


@pytest.mark.parametrize(
    ("expression", "result"),
    [
        ("sqrt(support.bearing_mm)", math.sqrt(90.0)),
        ("ratio(support.bearing_mm, 4.0) + support.bearing_mm / 3.0", 52.5),
        ("min(support.bearing_mm, 3.0, 4.0) + max(1.0, 2.0)", 5.0),
        ("abs(1.0 - support.bearing_mm)", 89.0),
        ("support.bearing_mm > 3.0 ? 1.5 : 2.5", 1.5),
        ("between(support.bearing_mm, 90.0, 91.0) ? 7.0 : 8.0", 7.0),
        ('has_row("rows", support.bearing_mm) ? 7.0 : 8.0', 7.0),
        ('has_row("rows", support.bearing_mm * 100.0) ? 7.0 : 8.0', 8.0),
        ('support.seat_on in ["hanger", "beam"] && support.seat_on.startsWith("han") ? 7.0 : 8.0', 7.0),
    ],
)
def test_functions(rule, expression, result):
    made = rule(f"unit: mm\ndemand: >-\n  {expression}\nlimit: 0.0")
    assert made.judge({"support.bearing_mm": 90.0, "support.seat_on": "hanger"}).demand == pytest.approx(result, rel=1e-15)


def test_a_number_in_force_replaces_the_packs_own(rule):
    made = rule(GAP)
    row = {"support.seat_on": "hanger", "support.gap_found_mm": 9.0}
    values = dict(made.values)
    wider = values | {"gap_max_mm": type(values["gap_max_mm"])(**{**_fields(values["gap_max_mm"]), "number": 10.0})}
    assert made.with_values(wider).judge(row).kind is Kind.PASS
    assert made.judge(row).kind is Kind.FAIL


def test_a_number_out_of_force_is_open(rule):
    made = rule(GAP)
    without = {name: value for name, value in made.values.items() if name != "gap_max_mm"}
    outcome = made.with_values(without).judge({"support.seat_on": "hanger", "support.gap_found_mm": 1.0})
    assert (outcome.kind, outcome.asks) == (Kind.OPEN, ("The number gap_max_mm is not in force on this day.",))


def test_a_table_out_of_force_is_open(rule):
    made = rule('unit: "1"\ndemand: look_up_number("rows", design.span_mm)\nlimit: bracing.noggin_rows', scope="design")
    outcome = made.with_values({}).judge({"design.span_mm": 1.0, "bracing.noggin_rows": 1.0})
    assert outcome.kind is Kind.OPEN
    assert "not in force" in outcome.asks[0]


def _fields(value):
    return {name: getattr(value, name) for name in ("name", "symbol", "unit", "what", "cites", "number", "table", "pack")}


def test_the_message_is_filled_in(rule):
    made = rule(
        GAP + '\nmessage: "{support.id}: {demand} of {limit}, on {support.seat_on}, {support.bearing_mm} long, {bracing.stated}, {{so}}"'
    )
    row = {"support.id": "S1", "support.seat_on": "hanger", "support.gap_found_mm": 6.000001, "bracing.stated": True}
    assert made.judge(row).message == "S1: 6.000001 of 6, on hanger, not stated long, yes, {so}"


def test_what_a_caller_writes_is_never_read_as_a_placeholder(rule):
    made = rule(GAP + '\nmessage: "{support.id}: {demand}"')
    row = {"support.id": "{limit} {support.__class__}", "support.seat_on": "hanger", "support.gap_found_mm": 9.0}
    assert made.judge(row).message == "{limit} {support.__class__}: 9"


def test_a_pass_says_what_holds(rule):
    assert rule(GAP).judge({"support.seat_on": "hanger", "support.gap_found_mm": 1.0}).message == "The rule holds."


@pytest.mark.parametrize(
    ("number", "text"),
    [(0.0, "0"), (6.0, "6"), (6.04, "6.04"), (12345.678, "12346"), (0.00012345, "0.0001234"), (-35.5, "-35.5"), (1e12, "1000000000000")],
)
def test_numbers_as_a_builder_reads_them(number, text):
    assert readable(number) == text


def test_an_expression_of_more_than_four_thousand_characters_is_refused(rule):
    long = " && ".join(["support.bearing_mm > 1.0"] * 200)
    with pytest.raises(PackRefused, match="longer than 4096"):
        rule(f"require: >-\n  {long}")


def test_work_beyond_the_budget_is_open(rule):
    """Deep nesting is refused at load; what is left is bounded by the length of the text."""
    with pytest.raises(PackRefused, match="32"):
        rule("require: " + "(" * 40 + "support.bearing_mm > 1.0" + ")" * 40)
