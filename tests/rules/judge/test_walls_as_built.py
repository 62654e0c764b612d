"""Walls out of true: a frame that no longer reaches them must not pass."""

from __future__ import annotations

import json

import pytest

from service.demo import read_design

RULE = "engine/walls-as-built"


@pytest.fixture
def joist():
    """4 100 mm between the middles of two bearings of 100 mm: drawn for walls 4 000 mm apart."""
    return json.loads(read_design("solid-joist"))


@pytest.fixture
def built(joist, checked):
    """The kinds that the guard says, and the verdict, of a joist between walls as measured."""

    def between(clear, *bearings):
        found = [{"support": f"S{i}", "bearing_mm": each} for i, each in enumerate(bearings, 1)]
        report = checked(joist | {"as_built": {"clear_width_mm": clear, "at_supports": found}})
        return [each["kind"] for each in report["findings"] if each["rule"] == RULE], report["verdict"]

    return between


@pytest.mark.parametrize("clear", [3995, 4000, 4005])
def test_walls_as_drawn_take_no_bearing_away(built, clear):
    assert built(clear) == ([], "pass")


@pytest.mark.parametrize("clear", [3994, 3950, 2000])
def test_walls_nearer_than_drawn_are_for_a_person_to_look_at(built, clear):
    """Until somebody has measured where the frame bears on them."""
    assert built(clear) == (["review"], "review")
    assert built(clear, 100, 100) == ([], "pass")


def test_walls_further_apart_leave_the_bearings_to_be_measured(built):
    assert built(4040) == (["open"], "open")
    assert built(4040, 80, 80) == ([], "pass")


def test_bearings_that_do_not_add_up_to_the_walls_are_asked_about(built):
    assert built(4040, 100, 100) == (["open"], "open")


@pytest.mark.parametrize("clear", [4200, 5000])
def test_a_frame_shorter_than_its_walls_are_apart_fails(built, clear):
    """100 mm on either side are lost, and there were no more."""
    assert built(clear) == (["fail"], "fail")
    assert built(clear, 100, 100) == (["fail"], "fail")


def test_a_truss_is_asked_in_the_same_way(checked):
    """8 300 mm between the middles of its bearings, 8 200 mm clear."""
    truss = json.loads(read_design("fink"))
    report = checked(truss | {"as_built": {"clear_width_mm": 8260}})
    (said,) = (each for each in report["findings"] if each["rule"] == RULE)
    assert said["kind"] == "open"
    assert "60 mm are missing" in said["message"]
