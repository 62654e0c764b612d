"""A word among a code's values says which formula stands where: the usual one, or the one that takes its place."""

from __future__ import annotations

import datetime

import pytest

from rules.library import Selection, choose, load_library, quantity
from rules.subject.design import Parameter
from rules.subject.faults import DesignRefused
from rules.subject.site import Site

TODAY = datetime.date(2026, 11, 25)
LIBRARY = load_library()


def chosen(*parameters: Parameter) -> Selection:
    return choose(LIBRARY, Site(country="GB", subdivision="GB-ENG"), "trussed-rafter", TODAY, None, parameters)


@pytest.mark.parametrize(
    ("word", "usual", "instead"),
    [
        ("simplified", "sigma_c", "strut_stress"),
        ("simplified", "slenderness_y", "simplified_slenderness"),
        ("second-order", "k_cy", "k_cy_displaced"),
        ("second-order", "bending_with_compression", "bending_with_compression_displaced"),
    ],
)
def test_a_word_puts_one_formula_in_the_place_of_another(word, usual, instead):
    plain, other = chosen().book, chosen(Parameter("analysis", word, "as asked for")).book
    assert plain[usual].name == usual
    assert other[usual].name == instead
    assert other[usual] is other[instead]
    assert {name for name in plain if plain[name].name != name} == set(), "the usual way knows no other"


def test_a_word_that_is_none_of_its_choices_is_refused():
    with pytest.raises(DesignRefused) as refused:
        chosen(Parameter("analysis", "guessed", "a hunch"))
    (fault,) = refused.value.faults
    assert (fault.code, fault.allowed) == ("unknown-word", ["general", "simplified", "second-order"])


def test_a_quantity_says_whose_place_it_takes():
    @quantity("x", "1", instead_of="usual", where=("method", "new"))
    def other(a):
        return a

    assert (other.instead_of, other.where, other.needs) == ("usual", ("method", "new"), ("a",))


def test_every_stand_in_takes_the_place_of_a_formula_or_a_fact_by_a_word_there_is():
    pack = LIBRARY.pack("eurocode-timber")
    names = {each.name for each in pack.quantities}
    words = {value.name: value.choices for value in pack.values}
    standing = [each for each in pack.quantities if each.instead_of]
    assert standing
    for each in standing:
        assert each.instead_of in names
        assert each.where[1] in words[each.where[0]]
