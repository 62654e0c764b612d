"""Strength classes against a second listing, laws of the standards they come from, and what must never be mixed in."""

from __future__ import annotations

import itertools
import json
from pathlib import Path

import pytest

LISTED = json.loads(Path(__file__).with_name("grades_second_listing.json").read_text("utf-8"))
ROWS = [(listing["source"], grade, row) for listing in LISTED["listings"] for grade, row in listing["grades"].items()]


@pytest.fixture(scope="module")
def grades(shipped):
    return {grade.id: grade for grade in shipped.pack("grades-en").materials}


@pytest.mark.parametrize(("source", "grade", "row"), ROWS, ids=[f"{grade} ({source[:40]})" for source, grade, _ in ROWS])
def test_as_another_listing_has_it(grades, source, grade, row):
    for name, number in row.items():
        assert grades[grade].properties[name] == pytest.approx(number, rel=1e-12), (source, grade, name)


def test_several_grades_are_held_against_another_listing():
    assert len({grade for _, grade, _ in ROWS}) >= 5


def test_there_are_all_classes(grades):
    soft = [f"C{n}" for n in (14, 16, 18, 20, 22, 24, 27, 30, 35, 40, 45, 50)]
    hard = [f"D{n}" for n in (18, 24, 27, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80)]
    glued = [f"GL{n}{kind}" for kind in "hc" for n in (20, 22, 24, 26, 28, 30, 32)]
    assert set(grades) == {*soft, *hard, *glued}


def test_kinds_and_woods(grades):
    assert {grade.kind for id, grade in grades.items() if id.startswith("GL")} == {"glulam"}
    assert {grade.kind for id, grade in grades.items() if id[0] in "CD"} == {"solid-timber"}
    assert {grade.softwood for id, grade in grades.items() if id.startswith(("C", "GL"))} == {True}
    assert {grade.softwood for id, grade in grades.items() if id.startswith("D")} == {False}


def test_the_number_of_a_class_is_its_bending_strength(grades):
    for id, grade in grades.items():
        assert grade.properties["f_m_k_mpa"] == float("".join(each for each in id if each.isdigit()))


@pytest.mark.parametrize("family", ["C", "D", "GL?h", "GL?c"])
def test_a_higher_class_is_never_weaker(grades, family):
    chosen = [grade for id, grade in grades.items() if id.startswith(family[:2].rstrip("?")) and id.endswith(family[3:])]
    chosen = sorted(chosen, key=lambda grade: grade.properties["f_m_k_mpa"])
    for lower, higher in itertools.pairwise(chosen):
        for name, number in lower.properties.items():
            assert higher.properties[name] >= number, (lower.id, higher.id, name)


def test_ratios_that_hold_for_timber(grades):
    """Shear modulus a sixteenth and the lower stiffness some two thirds (softwood) or five sixths (others) of the mean: common
    practice of the standard, checked with room for rounding."""
    for id, grade in grades.items():
        p = grade.properties
        assert 0.6 <= p["e_0_05_mpa"] / p["e_0_mean_mpa"] <= 0.9, id
        assert p["rho_k_kg_per_m3"] < p["rho_mean_kg_per_m3"], id
        assert p["f_t_0_k_mpa"] < p["f_m_k_mpa"], id
        if grade.kind == "solid-timber":
            assert p["e_0_mean_mpa"] / p["g_mean_mpa"] == pytest.approx(16.0, rel=0.03), id


def test_units_are_newtons_and_millimetres(grades):
    assert grades["C24"].properties["e_0_mean_mpa"] == 11000.0
    assert grades["GL24h"].properties["g_mean_mpa"] == 650.0


def test_values_of_an_older_edition_are_not_among_them(grades):
    """EN 338:2003 had f_v,k 2.5 and f_t,0,k 14 for C24, which go with no crack factor: never mixed."""
    assert grades["C24"].properties["f_v_k_mpa"] == 4.0
    assert grades["C24"].properties["f_t_0_k_mpa"] == 14.5


def test_every_class_was_read(grades):
    assert {grade.seen for grade in grades.values()} == {"read"}
