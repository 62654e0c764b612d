"""Many elements at once say what each of them says by itself, to the last digit and the last question."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.library.cel import Failed, Language, Unknown
from rules.library.citation import clause
from rules.library.columns import FAILED, Beyond, Columns
from rules.library.declared import DeclaredRule, Undecided
from rules.library.expression_text import ExpressionRefused
from rules.library.facts import BY_SCOPE
from rules.library.judging_columns import judge_all
from rules.library.loading import load_library
from rules.library.rule import Kind, Purpose, Scope
from rules.library.value import ANY, Interval, Table, Value

VARIABLES = {
    "member.x_mm": "double",
    "member.y_mm": "double",
    "value.gap": "double",
    "value.gone": "double",
    "member.role": "string",
    "member.wood": "string",
    "member.is_timber": "bool",
    "member.is_wet": "bool",
    "member.wood_stated": "bool",
}
ROWS_BY_SPAN = Table(("span_mm",), (((Interval(up_to=4000.0),), 1.0), ((Interval(4000.0, 8000.0),), 2.0)))
AREAS = Table(("district", "x"), ((("web", Interval(up_to=0.0)), "part"), (("web", ANY), "all"), (("post", "1.5"), "a \\ b")))
CURVE = Table(("x",), ((("0",), 1.0), (("1000",), 3.0), (("9000",), 2.5)))
TABLES = {
    "gap": Value("gap", "g", "mm", "gap", clause("1"), number=6.0),
    "rows": Value("rows", "n", "1", "rows", clause("1"), table=ROWS_BY_SPAN),
    "areas": Value("areas", "a", "1", "areas", clause("1"), table=AREAS),
    "curve": Value("curve", "c", "1", "curve", clause("1"), table=CURVE),
}
LANGUAGE = Language(VARIABLES, {**TABLES, "late": Value("late", "l", "1", "late", clause("1"), table=ROWS_BY_SPAN)})

NUMBERS = st.one_of(
    st.sampled_from(["member.x_mm", "member.y_mm", "value.gap", "value.gone", "0.0", "1.5", "1e9", "4000.0", "9.9e11"]),
    st.floats(0.0, 1e5, allow_nan=False).map(lambda x: f"{x:.3f}"),
)
WORDS = st.sampled_from(
    [
        "member.role",
        "member.wood",
        '"web"',
        "'post'",
        '""',
        '"W"',
        '"größer"',
        '"a\\\\b"',
        "lower(member.role)",
        'look_up("areas", member.role, member.x_mm)',
    ]
)
TRUTHS = st.sampled_from(["member.is_timber", "member.is_wet", "member.wood_stated", "true", "false"])
COMPARE = st.sampled_from(["<", "<=", ">", ">=", "==", "!="])


def number(inner):
    return st.one_of(
        st.tuples(inner, st.sampled_from("+-*"), inner).map(lambda t: f"({t[0]} {t[1]} {t[2]})"),
        st.tuples(inner, st.sampled_from("+-*"), inner).map(lambda t: f"{t[0]} {t[1]} {t[2]}"),
        inner.map(lambda x: f"-({x})"),
        inner.map(lambda x: f"(-{x})"),
        inner.map(lambda x: f"{x} / 3.0"),
        inner.map(lambda x: f"sqrt({x})"),
        inner.map(lambda x: f"abs({x})"),
        inner.map(lambda x: f'look_up_number("rows", {x})'),
        inner.map(lambda x: f'look_up_number("late", {x})'),
        inner.map(lambda x: f'interpolate("curve", {x})'),
        st.tuples(inner, inner).map(lambda t: f"ratio({t[0]}, {t[1]})"),
        st.tuples(inner, inner).map(lambda t: f"max({t[0]}, {t[1]})"),
        st.tuples(inner, inner, inner).map(lambda t: f"min({t[0]}, {t[1]}, {t[2]})"),
        st.tuples(TRUTHS, inner, inner).map(lambda t: f"({t[0]} ? {t[1]} : {t[2]})"),
        st.tuples(inner, inner, inner, inner).map(lambda t: f"({t[0]} < {t[1]} ? {t[2]} : {t[3]})"),
    )


SUMS = st.recursive(NUMBERS, number, max_leaves=6)


def truth(inner):
    return st.one_of(
        st.tuples(inner, st.sampled_from(["&&", "||"]), inner).map(lambda t: f"({t[0]} {t[1]} {t[2]})"),
        st.tuples(inner, st.sampled_from(["&&", "||"]), inner, st.sampled_from(["&&", "||"]), inner).map(" ".join),
        inner.map(lambda x: f"!({x})"),
        st.tuples(TRUTHS, COMPARE, TRUTHS).map(" ".join),
        st.tuples(SUMS, COMPARE, SUMS).map(" ".join),
        st.tuples(WORDS, COMPARE, WORDS).map(" ".join),
        st.tuples(WORDS, WORDS, COMPARE, WORDS).map(lambda t: f"{t[0]} + {t[1]} {t[2]} {t[3]}"),
        st.tuples(WORDS, st.lists(WORDS, min_size=1, max_size=3)).map(lambda t: f"{t[0]} in [{', '.join(t[1])}]"),
        st.tuples(SUMS, st.lists(SUMS, min_size=1, max_size=2)).map(lambda t: f"{t[0]} in [{', '.join(t[1])}]"),
        st.tuples(st.sampled_from(["member.role", "member.wood"]), st.sampled_from(["startsWith", "endsWith", "contains"]), WORDS).map(
            lambda t: f"{t[0]}.{t[1]}({t[2]})"
        ),
        st.tuples(SUMS, SUMS, SUMS).map(lambda t: f"between({t[0]}, {t[1]}, {t[2]})"),
        st.tuples(WORDS, SUMS).map(lambda t: f'has_row("areas", {t[0]}, {t[1]})'),
        st.tuples(inner, inner, inner).map(lambda t: f"({t[0]} ? {t[1]} : {t[2]})"),
    )


CONDITIONS = st.recursive(TRUTHS, truth, max_leaves=6)
A_NUMBER = st.one_of(
    st.none(), st.sampled_from([0.0, -0.0, 1.5, 4000.0, 8000.0, 1e12, -1e12, 2e12, math.nan, math.inf, 5e-324]), st.floats(-1e4, 1e4)
)
A_WORD = st.one_of(st.none(), st.sampled_from(["web", "post", "", "W", " Web ", "größer", "\U0001f332", "\uffee", "a\\b", "z\x00"]))
A_ROW = st.fixed_dictionaries(
    {
        "member.x_mm": A_NUMBER,
        "member.y_mm": A_NUMBER,
        "member.role": A_WORD,
        "member.wood": A_WORD,
        "member.is_timber": st.sampled_from([True, False]),
        "member.is_wet": st.sampled_from([True, False, None]),
    }
)
ROWS = st.lists(A_ROW, min_size=1, max_size=5)
CASES = settings(max_examples=400, deadline=None)


def compiled(text, wanted):
    try:
        return LANGUAGE.compile(text, wanted)
    except ExpressionRefused:  # a few generated texts are refused when read, which is tested elsewhere
        return None


def by_itself(expression, row):
    """What cel.py says of one row."""
    known = {name: row[name] for name in row if row[name] is not None and not (isinstance(row[name], float) and not abs(row[name]) <= 1e12)}
    known |= {"value.gap": 6.0, "member.wood_stated": row["member.wood"] is not None}
    return LANGUAGE.evaluate(expression, LANGUAGE.activation(known), TABLES)


def same(told, answer) -> bool:
    if isinstance(told, float) and isinstance(answer, float):
        return told == answer and math.copysign(1.0, told) == math.copysign(1.0, answer)
    return type(told) is type(answer) and told == answer


def agree(text, wanted, rows) -> bool:
    """Hold columns against cel.py; whether there was anything to hold."""
    expression = compiled(text, wanted)
    if expression is None:
        return False
    columns = Columns(rows, TABLES)
    try:
        column = columns.answer(expression)
    except Beyond:
        return False
    for i, row in enumerate(rows):
        answer, lack = by_itself(expression, row), _at(column.lack, i)
        at_once = expression.at_once(row, TABLES)
        assert at_once is None or same(at_once, answer), (text, row, answer, at_once)
        if lack == 0:
            assert same(_at(column.values, i), answer), (text, row, answer, column)
        elif lack == FAILED:
            wild = isinstance(answer, Unknown) and row.get(answer.name) is not None
            assert isinstance(answer, Failed) or wild, (text, row, answer)
        else:
            assert answer == Unknown(columns.lacking[lack]), (text, row, answer, columns.lacking[lack])
    return True


def _at(column, i):
    """One element's item, as plain Python."""
    if column is None:
        return 0
    item = column[i] if getattr(column, "shape", ()) else column
    return item.item() if hasattr(item, "item") else item


@CASES
@given(CONDITIONS, ROWS)
def test_conditions_agree(text, rows):
    agree(text, "bool", rows)


@CASES
@given(SUMS, ROWS)
def test_numbers_agree(text, rows):
    agree(text, "double", rows)


@pytest.fixture(scope="module")
def compared():
    """How many expressions were compared, by what they give; printed at the end."""
    told = Counter()
    yield told
    if told:
        print(f"\nexpressions compared on columns and one by one: {dict(told)}")


@pytest.mark.prove
@settings(max_examples=60_000, deadline=None)
@given(st.one_of(st.tuples(CONDITIONS, st.just("bool")), st.tuples(SUMS, st.just("double"))), ROWS)
def test_very_many_expressions_agree(compared, said, rows):
    agree(*said, rows)
    compared[said[1]] += 1


A_RULE = st.fixed_dictionaries(
    {
        "when": st.none() | CONDITIONS,
        "unless": st.none() | CONDITIONS,
        "undecided": st.lists(CONDITIONS, max_size=2),
        "sides": st.tuples(SUMS, SUMS) | CONDITIONS,
        "outcome": st.sampled_from([Kind.FAIL, Kind.INFORMATIONAL]),
    }
)


def ruled(said) -> DeclaredRule | None:
    """A rule of these texts; None where one of them is refused."""
    made = {name: compiled(said[name], "bool") if said[name] else None for name in ("when", "unless")}
    sides = said["sides"] if isinstance(said["sides"], tuple) else None
    made |= (
        {"demand": compiled(sides[0], "double"), "limit": compiled(sides[1], "double")}
        if sides
        else {"require": compiled(said["sides"], "bool")}
    )
    undecided = [Undecided(when, f"Which {i}?") for i, text in enumerate(said["undecided"]) if (when := compiled(text, "bool"))]
    if not any(made.get(name) for name in ("require", "limit")) or (sides and not made["demand"]):
        return None
    message = "{member.role} {member.x_mm} {value.gap}" + (": {demand} of {limit}" if sides else "")
    plain = {"slug": "r", "title": "It holds", "severity": "error", "message": message, "why": "x", "pack": "p"}
    more = {"scope": Scope.MEMBER, "purpose": Purpose.PRACTICE, "cites": clause("1"), "values": TABLES, "outcome": said["outcome"]}
    return DeclaredRule(**plain, **more, **made, undecided=tuple(undecided))


@CASES
@given(A_RULE, ROWS)
def test_rules_agree(said, rows):
    rule = ruled(said)
    if rule is not None:
        assert judge_all(rule, Columns(rows, TABLES)) == [rule.judge(row) for row in rows]


@pytest.mark.parametrize("limit", ["ratio(member.y_mm, member.x_mm)", "-ratio(member.y_mm, member.x_mm)"])
def test_a_limit_beyond_all_bounds_is_open(limit):
    rule = ruled({"when": None, "unless": None, "undecided": [], "sides": ("member.x_mm", limit), "outcome": Kind.FAIL})
    rows = [{"member.x_mm": 5e-324, "member.y_mm": 1.0}]
    assert rule is not None
    assert [each.kind for each in judge_all(rule, Columns(rows, TABLES))] == [Kind.OPEN] == [rule.judge(rows[0]).kind]


def test_what_columns_do_not_read_is_judged_by_itself():
    rows = [{"member.x_mm": 3.0, "member.role": 'a "b"'}, {"member.x_mm": 5.0}, {"member.role": "web"}]
    for text in ("member.x_mm > 4.0 || 1 < 2", r'member.role == "a \"b\""', 'member.role == r"web"', '"""web""" == member.role'):
        with pytest.raises(Beyond):
            Columns(rows, TABLES).answer(LANGUAGE.compile(text, "bool"))
        rule = ruled({"when": None, "unless": None, "undecided": [], "sides": text, "outcome": Kind.FAIL})
        assert rule is not None
        assert judge_all(rule, Columns(rows, TABLES)) == [rule.judge(row) for row in rows]


FACTS = {fact.name: fact for facts in BY_SCOPE.values() for fact in facts}


@pytest.fixture(scope="module")
def shipped_rules():
    return [rule for pack in load_library().packs for rule in pack.declared]


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_the_shipped_rules_agree_near_their_examples(shipped_rules, data):
    rule = data.draw(st.sampled_from(shipped_rules))
    rows = [dict(each.given) for each in rule.examples]
    for row in filter(None, rows):
        name = data.draw(st.sampled_from(sorted(row)))
        kind = FACTS[name].kind
        row[name] = data.draw(A_NUMBER if kind == "double" else A_WORD if kind == "string" else st.booleans())
    assert judge_all(rule, Columns(rows, rule.values)) == [rule.judge(row) for row in rows]


def test_the_names_that_are_not_stated_are_told_apart():
    columns = Columns([{"member.x_mm": 1.0}, {"member.y_mm": 2.0}, {}], TABLES)
    column = columns.answer(LANGUAGE.compile("member.x_mm + member.y_mm", "double"))
    assert [columns.lacking[_at(column.lack, i)] for i in range(3)] == ["member.y_mm", "member.x_mm", "member.x_mm"]


def test_one_term_can_settle_a_chain_whatever_the_others_lack():
    columns = Columns([{"member.is_timber": False}, {"member.is_timber": True}], TABLES)
    column = columns.answer(LANGUAGE.compile("member.x_mm > 2.0 && member.is_timber", "bool"))
    assert [_at(column.lack, i) for i in range(2)] == [0, 1]
    assert not _at(column.values, 0)


def test_shipped_rules_are_asked_without_the_language_where_all_is_stated(shipped_rules):
    expressions = [each for rule in shipped_rules for each in rule.expressions]
    assert all(each.quick for each in expressions)
    stated = [
        (rule, each.given)
        for rule in shipped_rules
        for each in rule.examples
        if all(each.given.get(name) is not None for name in rule.reads if not name.startswith("value."))
    ]
    answered = [expression.at_once(row, rule.values) for rule, row in stated for expression in rule.expressions]
    assert len(answered) > 100
    assert sum(each is not None for each in answered) > 0.9 * len(answered)
