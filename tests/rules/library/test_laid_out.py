"""Tables over whole axes say at every place what they say of its keys alone, however the keys lie; and what counts as not stated."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.library.given import unstated
from rules.library.labels import Labels
from rules.library.value import Table

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


@pytest.mark.parametrize(
    ("value", "where"),
    [
        (np.array([1.0, math.nan]), [False, True]), (np.array([[-math.inf], [math.nan]]), [[False], [True]]), (np.array([-math.inf, 2.0]), False),
        (np.array([0.0, math.inf]), False), (np.array([]), False), (math.nan, True), (3, False), (np.array([True, False]), False),
    ],
)  # fmt: skip
def test_only_what_is_no_number_is_not_stated(value, where):
    assert np.array_equal(unstated(value), where)
