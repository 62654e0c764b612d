"""Like with like: what the unit check lets through, and what it points at."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.library.citation import clause
from rules.library.expression_tree import tree_of
from rules.library.units import ENDINGS, UnitCheck, readable_unit, unit_of_name
from rules.library.value import Interval, Table, Value

TABLE = Value(
    "rows", "n", "kN", "load by span", clause("1"), table=Table(("span_mm",), (((Interval(up_to=1e3),), 1.0), ((Interval(),), 2.0)))
)
UNITS = {
    "a_mm": "mm",
    "b_mm": "mm",
    "c_m": "m",
    "n": "1",
    "p_deg": "deg",
    "f_kn": "kN",
    "g_n": "N",
    "area": "mm²",
    "stress": "N/mm²",
    "w": "kN/m",
}
CHECK = UnitCheck(UNITS, {"rows": TABLE})


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("a_mm + b_mm", "mm"),
        ("a_mm - 3.0", "mm"),
        ("a_mm <= 600.0", None),
        ("a_mm / 1000.0 <= c_m", None),
        ("a_mm <= c_m * 1000.0", None),
        ("a_mm * 2.0 <= b_mm", None),
        ("f_kn * 1000.0 / area", "N/mm²"),
        ("g_n / area", "N/mm²"),
        ("ratio(a_mm, b_mm)", "1"),
        ("ratio(a_mm, b_mm) <= n", None),
        ("sqrt(area) + a_mm", "mm"),
        ("max(a_mm, b_mm, 40.0)", "mm"),
        ("between(a_mm, 3.0, b_mm)", None),
        ("look_up_number('rows', a_mm)", "kN"),
        ("w * c_m <= f_kn", None),
        ("n > 2.0 ? a_mm : b_mm", "mm"),
        ("a_mm in [3.0, 4.0]", None),
        ("abs(-a_mm)", "mm"),
        ("interpolate('rows', a_mm)", "kN"),
    ],
)
def test_like_with_like(text, wanted):
    assert CHECK.faults(tree_of(text), wanted) == []


@pytest.mark.parametrize(
    ("text", "wanted", "column", "said"),
    [
        ("a_mm + p_deg", "mm", 6, "mm and deg are added"),
        ("a_mm - f_kn", "mm", 6, "mm and kN are subtracted"),
        ("a_mm <= c_m", None, 6, "mm is compared with m"),
        ("f_kn <= g_n", None, 6, "kN is compared with N"),
        ("p_deg <= n", None, 7, "deg is compared with a plain number"),
        ("a_mm * b_mm <= a_mm", None, 13, "mm² is compared with mm"),
        ("ratio(a_mm, b_mm) <= b_mm", None, 19, "a plain number is compared with mm"),
        ("a_mm", "m", 1, "this gives mm, and the rule is measured in m"),
        ("f_kn / area", "N/mm²", 6, "this gives kN/mm², and the rule is measured in N/mm²"),
        ("max(a_mm, f_kn)", "mm", 1, "max is asked of mm and kN"),
        ("between(a_mm, 3.0, c_m)", None, 1, "between is asked of mm and m"),
        ("look_up_number('rows', c_m)", "kN", 24, "looked up with m where span_mm stands, which is in mm"),
        ("look_up_number('rows', a_mm)", "mm", 1, "this gives kN"),
        ("n > 2.0 ? a_mm : f_kn", "mm", 9, "this gives mm or kN"),
        ("!(a_mm > 3.0 && f_kn > b_mm)", None, 22, "kN is compared with mm"),
        ("sqrt(a_mm) <= a_mm", None, 12, "is compared with mm"),
    ],
)
def test_unlike_is_pointed_at(text, wanted, column, said):
    (fault,) = CHECK.faults(tree_of(text), wanted)
    assert (fault.line, fault.column) == (1, column)
    assert said in fault.message


def test_a_factor_of_ten_frees_the_scale_and_not_the_dimension():
    assert CHECK.faults(tree_of("a_mm / 1000.0 <= f_kn"))
    assert CHECK.faults(tree_of("a_mm * 3.0 <= c_m"))


@pytest.mark.parametrize("unit", ["mm", "N/mm²", "kN/m", "kg/m³", "m/s²", "deg", "1", "", "%", "mm⁴"])
def test_units_of_the_trade_are_read(unit):
    assert readable_unit(unit)


@pytest.mark.parametrize("unit", ["millimetrs", "N/", "mm mm mm(", "²"])
def test_other_words_are_no_units(unit):
    assert not readable_unit(unit)


@given(st.sampled_from(sorted(ENDINGS)), st.sampled_from(["load", "x_y", "span"]))
def test_a_name_tells_its_unit_by_its_longest_ending(ending, stem):
    assert unit_of_name(stem + ending) == ENDINGS[ending]
    assert unit_of_name(stem) is None
