"""Between the rows of a table: on the straight line, never beyond its ends."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.library.cel import Failed, Language
from rules.library.citation import clause
from rules.library.expression_text import ExpressionRefused
from rules.library.value import ANY, Interval, Table, Value


def table(*rows, by=("x_mm",)):
    return Value("t", "t", "1", "a curve", clause("1"), table=Table(by, tuple(rows)))


CURVE = table((("0",), 10.0), (("100",), 20.0), (("400",), 50.0))
BY_KIND = table((("oak", "0"), 1.0), (("oak", "10"), 2.0), ((ANY, "0"), 5.0), ((ANY, "10"), 9.0), by=("kind", "x_mm"))


def answer(value, text, **facts):
    kinds = {name: "string" if isinstance(fact, str) else "double" for name, fact in facts.items()}
    language = Language(kinds, {"t": value})
    return language.evaluate(language.compile(text, "double"), language.activation(facts), {"t": value})


@given(st.floats(0.0, 400.0))
def test_it_lies_on_the_line_numpy_draws(x):
    assert answer(CURVE, 'interpolate("t", x)', x=x) == pytest.approx(float(np.interp(x, [0, 100, 400], [10, 20, 50])))


@pytest.mark.parametrize(("x", "y"), [(0.0, 10.0), (100.0, 20.0), (250.0, 35.0), (400.0, 50.0)])
def test_rows_are_met_exactly_and_halfway_is_halfway(x, y):
    assert answer(CURVE, 'interpolate("t", x)', x=x) == y


@pytest.mark.parametrize("x", [-0.001, 400.001])
def test_beyond_the_ends_nothing_is_known(x):
    assert answer(CURVE, 'interpolate("t", x)', x=x) == Failed(f"the table t does not reach {x}")


@pytest.mark.parametrize(("kind", "y"), [("oak", 1.5), ("ash", 7.0)])
def test_other_keys_choose_the_curve(kind, y):
    assert answer(BY_KIND, 'interpolate("t", kind, x)', kind=kind, x=5.0) == y


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (table(((Interval(up_to=3.0),), 1.0), ((Interval(),), 2.0)), "need a number for x_mm"),
        (table((("0",), 1.0)), "only one row"),
        (table((("5",), 1.0), (("2",), 2.0)), "has to rise"),
        (table((("a",), 1.0), (("b",), 2.0)), "need a number"),
        (table((("0",), "low"), (("1",), "high")), "gives words"),
    ],
)
def test_what_is_no_curve_is_refused_when_it_is_read(value, said):
    with pytest.raises(ExpressionRefused) as refusal:
        Language({"x": "double"}, {"t": value}).compile('interpolate("t", x)', "double")
    assert said in refusal.value.faults[0].message


def test_a_number_the_caller_put_in_place_of_the_table_holds_everywhere():
    held = {"t": Value("t", "t", "1", "a number", clause("1"), number=3.0)}
    language = Language({"x": "double"}, {"t": CURVE})
    compiled = language.compile('interpolate("t", x)', "double")
    assert language.evaluate(compiled, language.activation({"x": 1e6}), held) == 3.0


def test_long_numbers_stay_apart_as_keys():
    exact = table((("1234567",), 1.0), (("1234568",), 2.0))
    assert exact.table.look_up([1234567.0]) == 1.0
    assert exact.table.look_up([1234568.0]) == 2.0
