"""Expressions of any text: refused with a place, or answered with a number, a word, a yes or no, or why not. Never anything else."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.library.cel import Failed, Language, Unknown
from rules.library.citation import clause
from rules.library.expression_text import FUNCTIONS, ExpressionRefused, first_line
from rules.library.value import Interval, Table, Value

VARIABLES = {
    "member.length_mm": "double",
    "member.h_mm": "double",
    "member.role": "string",
    "member.is_timber": "bool",
    "member.grade_stated": "bool",
    "value.gap": "double",
}
TABLES = {
    "rows": Value("rows", "n", "1", "rows", clause("1"), table=Table(("span_mm",), (((Interval(up_to=4000.0),), 1.0),))),
    "areas": Value("areas", "a", "1", "areas", clause("1"), table=Table(("district",), ((("hart",), "part"),))),
}
FACTS = {"member.length_mm": 2400.0, "member.role": "web", "member.is_timber": True, "value.gap": 6.0}


@pytest.fixture(scope="module")
def language():
    return Language(VARIABLES, TABLES)


NUMBERS = st.one_of(
    st.sampled_from(["member.length_mm", "member.h_mm", "value.gap"]),
    st.floats(0.0, 1e9, allow_nan=False).map(lambda x: f"{x:.3f}"),
)
WORDS = st.sampled_from(["member.role", '"web"', '"hart"', '"a \\" b"'])
TRUTHS = st.sampled_from(["member.is_timber", "member.grade_stated", "true"])


def number(inner):
    return st.one_of(
        st.tuples(inner, st.sampled_from("+-*"), inner).map(lambda t: f"({t[0]} {t[1]} {t[2]})"),
        inner.map(lambda x: f"sqrt({x})"),
        inner.map(lambda x: f"abs({x})"),
        inner.map(lambda x: f'look_up_number("rows", {x})'),
        st.tuples(inner, inner).map(lambda t: f"ratio({t[0]}, {t[1]})"),
        st.tuples(inner, inner).map(lambda t: f"max({t[0]}, {t[1]})"),
        inner.map(lambda x: f"({x} / 3.0)"),
    )


SUMS = st.recursive(NUMBERS, number, max_leaves=8)


def truth(inner):
    return st.one_of(
        st.tuples(inner, st.sampled_from(["&&", "||"]), inner).map(lambda t: f"({t[0]} {t[1]} {t[2]})"),
        inner.map(lambda x: f"!{x}"),
        st.tuples(SUMS, st.sampled_from(["<", "<=", ">", ">=", "==", "!="]), SUMS).map(lambda t: f"({t[0]} {t[1]} {t[2]})"),
        st.tuples(WORDS, st.sampled_from(["==", "!="]), WORDS).map(lambda t: f"({t[0]} {t[1]} {t[2]})"),
        WORDS.map(lambda word: f'(look_up("areas", lower({word})) == "part")'),
        WORDS.map(lambda word: f'has_row("areas", {word})'),
    )


CONDITIONS = st.recursive(TRUTHS, truth, max_leaves=8)


@settings(max_examples=300, deadline=None)
@given(CONDITIONS)
def test_a_well_typed_condition_is_answered_or_says_why_not(language, text):
    expression = language.compile(text, "bool")
    answer = language.evaluate(expression, language.activation(FACTS), TABLES)
    assert isinstance(answer, (bool, Unknown, Failed))
    assert set(expression.reads) <= set(VARIABLES)
    if isinstance(answer, Unknown):
        assert answer.name in expression.reads
        assert answer.name not in FACTS


@settings(max_examples=300, deadline=None)
@given(SUMS)
def test_a_well_typed_sum_is_finite_or_says_why_not(language, text):
    answer = language.evaluate(language.compile(text, "double"), language.activation(FACTS), TABLES)
    assert isinstance(answer, (float, Unknown, Failed))
    assert not isinstance(answer, float) or math.isfinite(answer)


@settings(max_examples=200, deadline=None)
@given(CONDITIONS)
def test_stating_every_fact_leaves_nothing_unknown(language, text):
    """Three-valued logic is monotone: what was decided stays so when more is stated, and nothing unknown is left at the end."""
    stated = FACTS | {"member.h_mm": 97.0, "member.grade_stated": False}
    expression = language.compile(text, "bool")
    before = language.evaluate(expression, language.activation(FACTS), TABLES)
    after = language.evaluate(expression, language.activation(stated), TABLES)
    assert not isinstance(after, Unknown)
    if isinstance(before, bool):
        assert after is before


SIGNS = [
    "(",
    ")",
    ",",
    ".",
    "+",
    "-",
    "*",
    "/",
    "&&",
    "||",
    "!",
    "==",
    "<",
    "?",
    ":",
    "[",
    "]",
    "{",
    "}",
    "//",
    "\\",
    "\n",
    " ",
    "\x00",
    "é",
    "😀",
]
ATOMS = ["1", "1.0", "0.0", "1e999", "0x1f", '"rows"', "'x'", '"', "r'", "null", "true", "in", "all", "map", "has"]
PIECES = st.lists(st.sampled_from([*VARIABLES, *FUNCTIONS, *SIGNS, *ATOMS]), max_size=14)


@settings(max_examples=600, deadline=None)
@given(st.one_of(PIECES.map("".join), PIECES.map(" ".join), st.text(max_size=40)))
def test_any_text_is_taken_or_refused_with_a_place_inside_it(language, text):
    expression, faults = _compiled(language, text)
    if expression is None:
        assert faults
        assert all(fault.line >= 1 and fault.column >= 1 and fault.message for fault in faults)
    else:
        assert isinstance(language.evaluate(expression, language.activation(FACTS), TABLES), (bool, Unknown, Failed))


def _compiled(language, text):
    try:
        return language.compile(text, "bool"), ()
    except ExpressionRefused as refusal:
        return None, refusal.faults


def test_what_the_library_raises_is_a_failure_too(language):
    """Its budget of work is the one error it raises instead of giving back."""

    class Overrun:
        def eval(self, _activation):
            raise RuntimeError("RESOURCE_EXHAUSTED: Iteration budget exceeded\nmore")

    expression = language.compile("member.is_timber", "bool")
    overrun = type(expression)(expression.text, expression.reads, (), "bool", Overrun(), language)
    assert language.evaluate(overrun, language.activation(FACTS), TABLES) == Failed("RESOURCE_EXHAUSTED: Iteration budget exceeded")


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("member.length_mm > 600", "write 600.0"),
        ("member.length_mm * 2 > 1.0", "write 2.0"),
        ("member.lenght_mm > 1.0", "did you mean member.length_mm?"),
        ("member.length_mm / value.gap > 1.0", "write ratio(a, b): it makes the judgement open when b is nought"),
        ("value.rows > 1.0", 'it is a table: write look_up("rows", ...)'),
        ('look_up("rows", 1.0) == "x"', "write look_up_number"),
        ('look_up_number("areas", "x") > 1.0', "write look_up"),
        ("member.role == null", "ask `<name>_stated` whether it is stated"),
    ],
)
def test_hints(language, text, hint):
    with pytest.raises(ExpressionRefused) as refusal:
        language.compile(text, "bool")
    assert hint in [fault.hint for fault in refusal.value.faults]


@pytest.mark.parametrize(
    "text",
    [
        "has(member.role)",
        "[1.0].map(x, x)[0] > 1.0",
        "[1.0].filter(x, x > 0.0) == [1.0]",
        "[1.0].exists(x, x > 0.0)",
        'double("NaN") > 1.0',
        'member.role.matches("(a+)+")',
        "size(member.role) > 1",
        'member.role[0] == "w"',
        '{"a": 1.0}.a > 0.0',
        "member.length_mm % 2.0 > 1.0",
        "member.length_mm / 0.0 > 1.0",
        "member.length_mm > 1.0e13",
        'timestamp("2026-01-01T00:00:00Z") == timestamp("2026-01-01T00:00:00Z")',
        "look_up(member.role, member.role) == member.role",
    ],
)
def test_what_rules_must_not_use(language, text):
    with pytest.raises(ExpressionRefused):
        language.compile(text, "bool")


def test_an_error_that_says_nothing_is_called_by_its_kind():
    assert first_line(ValueError()) == "ValueError"
