"""YAML, narrowed: plain data with a place for everything, and no surprises."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.library.yaml_source import MAX_CHARACTERS, MAX_DEPTH, PackFault, read_yaml


def test_plain_data():
    text = "a: 1\nb: 2.5\nc: no\nd: yes\ne: true\nf: ~\ng: 2014-01-02\nh: '12'\ni: 1e3\nj: [x, {k: v}]\nl: |\n  one\n  two\n"
    source = read_yaml(text, "a.yaml")
    assert source.faults == []
    assert source.data == {
        "a": 1,
        "b": 2.5,
        "c": "no",
        "d": "yes",
        "e": True,
        "f": None,
        "g": datetime.date(2014, 1, 2),
        "h": "12",
        "i": 1000.0,
        "j": ["x", {"k": "v"}],
        "l": "one\ntwo\n",
    }


@pytest.mark.parametrize(
    ("path", "line", "column"),
    [((), 1, 1), (("a",), 1, 4), (("b", 0), 3, 5), (("b", 1, "c"), 4, 8), (("b", 7), 3, 3), (("zzz",), 1, 1), (("e",), 5, 3)],
)
def test_places(path, line, column):
    source = read_yaml("a: 1\nb:\n  - x\n  - c: y\ne:\n", "a.yaml")
    place = source.place(path)
    assert (place.line, place.column) == (line, column)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the file is empty"),
        ("# only a word\n", "the file is empty"),
        ("~", "the file says nothing"),
        ("---", "the file says nothing"),
        ("a: 1\n---\nb: 2\n", "another document"),
        ("a: [", "no YAML"),
        ("a: &x 1\nb: *x\n", "repeated part"),
        ("a: &x {b: *x}\n", "repeated part"),
        ("<<: {a: 1}\n", "a key must be plain text"),
        ("? [1]\n: 2\n", "a key must be plain text"),
        ("a: !!binary aGk=\n", "the tag"),
        ("a: !thing 1\n", "the tag"),
        ("a: .nan\n", "no number"),
        ("a: -.inf\n", "no number"),
        ("a: 1e999\n", "no number"),
        ("a: 0x1F\n", "no whole number"),
        ("a: 2026-02-30\n", "no date"),
        ("a: 2026-02-03T04:05:06Z\n", "no date"),
        ("a: 1\na: 2\n", "written twice"),
        ("[" * 1500, "no YAML"),
        ("a: " + "[" * (MAX_DEPTH + 1) + "]" * (MAX_DEPTH + 1), "nested deeper"),
        ("a" * (MAX_CHARACTERS + 1), "longer than"),
        ("a: '\x00'", "no YAML"),
    ],
)
def test_refused(text, said):
    source = read_yaml(text, "a.yaml")
    assert any(said in fault.message for fault in source.faults), source.faults
    assert all(fault.file == "a.yaml" and fault.line >= 1 and fault.column >= 1 for fault in source.faults)


def test_a_whole_number_of_many_digits_is_not_a_way_to_stop_the_start():
    assert "whole number" in read_yaml("a: " + "9" * 5000, "a.yaml").faults[0].message


@settings(max_examples=250, deadline=None)
@given(st.one_of(st.text(max_size=80), st.lists(st.sampled_from("ab:-[]{}&*!|>'\"#%@` \n\t,?~019.\\"), max_size=40).map("".join)))
def test_any_text_gives_data_or_a_fault(text):
    source = read_yaml(text, "a.yaml")
    assert source.data is not None or source.faults


def test_a_fault_reads_like_a_compilers():
    assert str(PackFault("values.yaml", 3, 7, "the row is short", "add a key")) == "values.yaml:3:7: the row is short (add a key)"
    assert str(PackFault("values.yaml", 3, 7, "the row is short")) == "values.yaml:3:7: the row is short"
