"""Numbers, places and sources in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.formats.wording import clause, governing, number, place, quantity, seen, source, taken, utilisation


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0, "0"), (-0.0, "0"), (1, "1"), (1.0, "1"), (1830.4, "1830"), (2334.6, "2335"), (0.33333, "0.3333"), (-12.5, "-12.5"), (123456.7, "123457"),
        (0.00012345, "0.0001234"), (1e-9, "1e-09"), (2.5e12, "2.5e+12"), (True, "True"), (None, "None"), ("C24", "C24"), (100, "100"), (0.05, "0.05"),
    ],
)  # fmt: skip
def test_numbers_read_as_a_person_writes_them(value: object, text: str) -> None:
    assert number(value) == text


@given(st.floats(1e-4, 1e8))
def test_a_number_in_words_is_within_half_a_unit_of_its_fourth_digit(value: float) -> None:
    assert float(number(value)) == pytest.approx(value, rel=0.5e-3)


@pytest.mark.parametrize(
    ("value", "exceeded", "text"),
    [
        (0.5, False, "0.50"), (1.0, False, "1.00"), (0.996, False, "1.00"), (1.2161, True, "1.22"), (1.004, True, "1.004"), (1.0000004, True, "1.000000400"),
        (1.006, False, "1.006"), (1 + 1e-12, True, "1"),
    ],
)  # fmt: skip
def test_a_utilisation_is_printed_on_its_side_of_one(value: float, exceeded: bool, text: str) -> None:
    assert utilisation(value, exceeded=exceeded) == text


@given(st.floats(1 + 2e-9, 50))
def test_a_fail_never_prints_as_one(value: float) -> None:
    assert float(utilisation(value, exceeded=True)) > 1


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ({"member": "TC1", "at_mm": 1830.4}, "member TC1 at 1830 mm"),
        ({"member": None, "support": "S2", "at_mm": None}, "support S2"),
        ({"member": "BC", "joint": "A"}, "member BC, joint A"),
        ({"node": "C", "at_mm": 0}, "node C at 0 mm"),
        ({}, "whole design"),
    ],
)
def test_places_in_words(where: dict[str, object], words: str) -> None:
    assert place(where) == words


def test_quantities_carry_their_unit_and_a_ratio_has_none() -> None:
    assert quantity({"value": 14.0, "unit": "mm"}) == "14 mm"
    assert quantity({"value": 1.25, "unit": "1"}) == "1.25"


def test_a_source_says_whether_it_was_read() -> None:
    cited = {"document": "EN 1995-1-1", "edition": "2004+A2:2014", "clause": "6.3.2", "equation": "(6.24)", "seen": "memory"}
    assert clause(cited) == "EN 1995-1-1, 6.3.2 (6.24)"
    assert source(cited) == "EN 1995-1-1, 6.3.2 (6.24), edition 2004+A2:2014: from memory"
    assert seen({}) == "not stated"
    assert clause({}) == "no source"


def test_the_governing_finding_is_the_one_the_summary_names(failing_report: dict[str, object]) -> None:
    found = governing(failing_report)
    assert found is not None
    assert found["rule"] == "eurocode-timber/bending-with-compression"
    assert governing({"summary": {}, "findings": []}) is None


def test_without_the_named_finding_the_most_used_one_shown_stands_for_it() -> None:
    shown = [{"id": "a", "utilisation": 0.4}, {"id": "b", "utilisation": 0.7}, {"id": "c", "utilisation": None}]
    found = governing({"summary": {"governing": {"finding": "elsewhere", "utilisation": 0.7}}, "findings": shown})
    assert found == shown[1]


def test_what_was_assumed_reads_as_words() -> None:
    assert taken({"S1": ["x", "y"], "S2": ["y"]}) == "S1: x, y; S2: y"
    assert (taken(True), taken(False), taken([65.29, 2645.0]), taken("held"), taken(0)) == ("yes", "no", "65.29, 2645", "held", "0")
