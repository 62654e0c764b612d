"""Tables over whole axes say at every place what they say of its keys alone, however the keys lie; and what counts as not stated."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.library.given import unstated
from rules.library.labels import Labels
from rules.library.value import ANY, Interval, Table

TABLE = Table(
    ("a", "b"), tuple(((a, b), float(f"{i}{j}")) for i, a in enumerate("xyz", 1) for j, b in enumerate("pqr", 1) if (a, b) != ("z", "r"))
)
FIRST, SECOND = (
    st.lists(st.sampled_from(["x", "y", "z", None]), min_size=1, max_size=40),
    st.lists(st.sampled_from("pqr"), min_size=1, max_size=5),
)


def number(a, b):
    found = TABLE.look_up((a, b))
    return math.nan if found is None else found


@given(FIRST, SECOND)
def test_a_key_down_the_combinations_and_one_along_the_places(down, along):
    expected = [[number(a, b) for b in along] for a in down]
    np.testing.assert_array_equal(TABLE.spread(Labels.of(down).down(), Labels.of(along)), expected)


@given(FIRST, st.sampled_from("pqr"))
def test_a_key_down_the_combinations_and_a_word_for_all(down, b):
    np.testing.assert_array_equal(TABLE.spread(Labels.of(down).down(), b), [[number(a, b)] for a in down])


@given(st.lists(st.tuples(st.sampled_from(["x", "y", None]), st.sampled_from("pq")), min_size=9, max_size=40))
def test_both_keys_down_the_combinations(pairs):
    first, second = zip(*pairs, strict=True)
    np.testing.assert_array_equal(TABLE.spread(Labels.of(first).down(), Labels.of(second).down()), [[number(*pair)] for pair in pairs])


KEY = st.sampled_from(["x", "y", ANY, Interval(0.0, 1.0), Interval(1.0)])
ASKED = st.sampled_from(["x", "y", "z", None, math.nan, 0.5, 1.5, -1.0])


def fits(key, asked):
    """Whether a row's key may hold of what is asked; what is not stated fits any."""
    if key == ANY or asked is None or asked != asked:
        return True
    if isinstance(key, Interval):
        return not isinstance(asked, str) and key.above < asked <= key.up_to
    return key == asked


@given(st.lists(st.tuples(st.tuples(KEY, KEY), st.sampled_from([1.0, 2.0])), max_size=8), st.tuples(ASKED, ASKED))
def test_the_first_row_that_fits_speaks_however_rows_are_filed(rows, asked):
    found = [result for row, result in rows if all(map(fits, row, asked))]
    stated = all(each is not None and each == each for each in asked)
    expected = (found[0] if found else None) if stated else (found[0] if len(set(found)) == 1 else None)
    assert Table(("a", "b"), tuple(rows)).look_up(asked) == expected


@pytest.mark.parametrize(
    ("value", "where"),
    [
        (np.array([1.0, math.nan]), [False, True]), (np.array([[-math.inf], [math.nan]]), [[False], [True]]), (np.array([-math.inf, 2.0]), False),
        (np.array([0.0, math.inf]), False), (np.array([]), False), (math.nan, True), (3, False), (np.array([True, False]), False),
    ],
)  # fmt: skip
def test_only_what_is_no_number_is_not_stated(value, where):
    assert np.array_equal(unstated(value), where)
