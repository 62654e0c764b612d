"""What rests on what is found once, in the order in which one would work it out by hand; and only so much is kept."""

from __future__ import annotations

import datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.library import Evidence, Given, UnknownQuantity, choose
from rules.library.citation import clause
from rules.library.later import Later
from rules.library.loading import MOST_MADE
from rules.library.part import Part
from rules.library.planning import Plan, Plans
from rules.library.quantity import Quantity
from rules.library.value import Table, Value
from rules.subject.design import Parameter
from rules.subject.site import Site

GIVEN = ("g0", "g1", "g2")
TABLE = Value("t", "t", "1", "t", clause("1"), table=Table(("word",), ((("a",), 1.0), (("b",), 2.0))))
VALUES = {"t": TABLE, "x": Value("x", "x", "1", "x", clause("1"), number=3.0)}


def formula(name, needs):
    return Quantity(name, name, "1", None, lambda *args: sum(args, 1.0), tuple(needs))


@st.composite
def books(draw):
    """Formulas that need earlier ones, what is given, numbers and a table."""
    names = [*GIVEN, "x", "t"]
    book = {}
    for i in range(draw(st.integers(1, 8))):
        needs = draw(st.lists(st.sampled_from(names), max_size=4, unique=True))
        book[f"q{i}"] = formula(f"q{i}", needs)
        names.append(f"q{i}")
    return book


def by_hand(plan, name, seen):
    """Needs before what needs them, each once."""
    for need in plan.needs(name):
        if need not in seen:
            by_hand(plan, need, seen)
    seen.append(name)
    return seen


@given(books())
def test_the_order_is_that_of_working_it_out(book):
    plan = Plan(book, VALUES, [*GIVEN, "word"])
    for name in book:
        walked = by_hand(plan, name, [])
        assert plan.walk(name) == tuple(walked)
        assert plan.roots(name) == {each for each in walked if each in plan.given}
        in_the_open = by_hand(Plan(book, {}, [*GIVEN, "x", "t"]), name, [])
        assert set(plan.sources(name)) == {each for each in in_the_open if each in (*GIVEN, "t")}, "a table answers for its keys"


@given(books(), st.lists(st.booleans(), min_size=4, max_size=4))
def test_a_gap_is_where_anything_below_is_not_stated(book, stated):
    numbers = {name: np.array([1.0, np.nan if lacks else 2.0]) for name, lacks in zip(GIVEN, stated, strict=False)}
    named = {name: Given(name, name, "1", name, value, "How much?") for name, value in numbers.items()}
    evidence = Evidence(book, {"x": VALUES["x"]}, {**named, "t": Given("t", "t", "1", "t", 1.0)})
    for name in book:
        below = [lacks for each, lacks in zip(GIVEN, stated, strict=False) if each in evidence.walk(name)]
        assert np.broadcast_to(evidence.gap(name), 2).tolist() == [False, any(below)]
        assert np.isnan(np.broadcast_to(evidence[name], 2)).tolist() == [False, any(below)]


def test_what_nothing_provides_is_named_each_time():
    plan = Plan({"q": formula("q", ["g0", "nobody"])}, {}, GIVEN)
    for _ in range(2):
        with pytest.raises(UnknownQuantity, match="nobody"):
            plan.walk("q")


def test_only_so_many_plans_are_kept():
    plans = Plans({}, {})
    first = plans.of(["a", "b"])
    assert plans.of(["b", "a"]) is first
    for i in range(Plans.MOST):
        plans.of([f"g{i}"])
    assert plans.of(["a", "b"]) is not first


def test_packs_are_chosen_once_for_designs_alike(library):
    day, here = datetime.date(2026, 11, 25), Site(country="GB", subdivision="GB-ENG", altitude_m=90.0)
    first = choose(library, here, "cut-roof", day, None)
    assert choose(library, Site(country="GB", subdivision="GB-ENG", altitude_m=10.0), "cut-roof", day, None) is first
    own = [Parameter("gamma_q", 1.6, "as asked")]
    assert choose(library, here, "cut-roof", day, None, own).values["gamma_q"].number == 1.6
    assert choose(library, here, "cut-roof", day, None) is first
    for i in range(MOST_MADE):
        choose(library, here, "cut-roof", day + datetime.timedelta(days=i + 1), None)
    assert choose(library, here, "cut-roof", day, None) is not first


def test_what_some_combinations_lack_is_asked_for_in_a_part_of_them_too():
    stated = np.array([[1.0], [2.0], [np.nan]])
    whole = Evidence({"q": formula("q", ["g0"])}, {}, {"g0": Given("g0", "g0", "1", "g0", stated, "How much?")})
    part = Part(whole, np.array([2]))
    assert whole.questions("q", (2, 0)) == part.questions("q", (0, 0)) == ["How much?"]
    assert whole.questions("q", (0, 0)) == []


def test_what_nobody_asks_for_is_not_worked_out():
    asked = []
    late = Later(lambda: asked.append("worked out") or 2.0)
    evidence = Evidence({"q": formula("q", ["g0"])}, {}, {"g0": Given("g0", "g0", "1", "g0", late, "How much?")})
    assert not evidence.varies("q")
    assert not asked
    part = Part(evidence, np.array([0]))
    assert part["q"] == evidence["q"] == 3.0
    assert evidence.gap("q") is False
    assert asked == ["worked out"]
