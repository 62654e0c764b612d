"""Loads typed in by hand that did not follow when spacing, use or site were changed: a person is asked, and of sound ones nobody."""

from __future__ import annotations

import json

import pytest

from service.demo import read_design

RULE = "engine/loads-against-site-and-use"


@pytest.fixture
def truss():
    return json.loads(read_design("fink"))


@pytest.fixture
def floor():
    return json.loads(read_design("solid-joist"))


@pytest.fixture
def asked(checked):
    """The parts of the guard that ask a person to look; all of it is for looking at."""

    def ask(design):
        found = [each for each in checked(design)["findings"] if each["rule"] == RULE]
        assert {each["kind"] for each in found} <= {"review"}
        return {each["part"] for each in found}

    return ask


def scaled(design, name, by):
    action = next(each for each in design["actions"] if each["id"] == name)
    for load in action["loads"]:
        load |= {field: load[field] * by for field in ("line_kn_per_m", "point_kn") if field in load}
    return design


def test_nobody_is_asked_about_the_demo_designs(truss, floor, asked):
    assert asked(truss) == asked(floor) == set()


@pytest.mark.parametrize("name", ["by-shape", "two-reasons", "open-web-joist"])
def test_nobody_is_asked_about_loads_that_were_worked_out(name, asked):
    assert asked(json.loads(read_design(name))) == set()


def test_a_joist_set_further_apart_carries_more(floor, asked):
    """0.6 kN/m is 1.5 kN/m² at 400 mm, the figure of a dwelling in the United Kingdom, and 1.0 at 600 mm."""
    assert asked(floor | {"spacing_mm": 600}) == {"imposed-area-a"}
    assert asked(floor | {"spacing_mm": 600, "load_width_mm": 400}) == set()
    assert asked(floor | {"load_width_mm": 600}) == {"imposed-area-a"}


def test_a_truss_set_further_apart_carries_more(truss, asked):
    assert asked(truss | {"spacing_mm": 900}) == {"ceiling-imposed-area", "maintenance", "snow"}


def test_a_figure_that_was_rounded_is_let_be(floor, asked):
    for name in ("imposed-area", "imposed-area-left-half", "imposed-area-right-half"):
        scaled(floor, name, 0.985)
    assert asked(floor) == set()


def test_another_use_asks_for_more(floor, asked):
    """Offices: 3.0 kN/m² and 2.7 kN in the United Kingdom."""
    for action in floor["actions"]:
        action |= {"category": "B"} if action["nature"] == "imposed" else {}
    assert asked(floor) == {"imposed-area-b", "imposed-point-b"}


@pytest.mark.parametrize(
    ("name", "by", "part"),
    [
        ("ceiling-imposed-area", 0.9, "ceiling-imposed-area"),
        ("ceiling-imposed-person", 0.9, "ceiling-imposed-person"),
        ("maintenance-area", 0.7, "maintenance"),
        ("snow-balanced", 0.1, "snow"),
        ("snow-drift-left", 0.5, "snow-tc1"),
    ],
)
def test_each_load_of_a_roof_is_held_against_its_own_figure(truss, asked, name, by, part):
    assert asked(scaled(truss, name, by)) == {part}


@pytest.mark.parametrize(
    ("site", "part"), [({"altitude_m": 900}, "snow"), ({"snow_ground_kn_per_m2": 2.0}, "snow"), ({"wind_speed_m_per_s": 35}, "wind")]
)
def test_a_harsher_site_asks_for_more(truss, asked, site, part):
    """Of snow the greater of what zone and altitude, and what the design says of the ground, bring."""
    assert part in asked(truss | {"site": truss["site"] | site})


def test_the_weather_told_in_two_halves_is_no_less(truss, asked):
    halves = [{**action, "id": f"{action['id']}-2", "one_of": "snow-2"} for action in truss["actions"] if action["nature"] == "snow"]
    whole = truss | {"actions": [*truss["actions"], *json.loads(json.dumps(halves))]}
    for action in [each["id"] for each in whole["actions"] if each["nature"] == "snow"]:
        scaled(whole, action, 0.5)
    assert asked(whole) == set()


def test_a_site_that_tells_nothing_asks_nothing(truss, asked):
    dropped = ("snow_zone", "snow_ground_kn_per_m2", "wind_speed_m_per_s")
    bare = {name: value for name, value in truss["site"].items() if name not in dropped}
    assert asked(scaled(truss | {"site": bare}, "snow-balanced", 0.1)) == set()
    assert asked({name: value for name, value in truss.items() if name != "spacing_mm"}) == set()


def test_a_figure_of_the_designs_own_is_held_against_the_codes(asked):
    """Storage of 0.05 kN/m² in place of 0.25, and a person of 10 kg."""
    design = json.loads(read_design("by-shape"))
    design["loading"]["loft"] = {"kn_per_m2": 0.05, "person_kn": 0.1}
    assert asked(design) == {"ceiling-imposed-area", "ceiling-imposed-person"}
    design["loading"]["loft"] = {"kn_per_m2": 0.5, "person_kn": 0.9}
    assert asked(design) == set()


@pytest.mark.parametrize(
    ("country", "grade", "least", "parts"),
    [
        ("US", "DF-L No.2", 1.436, {"imposed-area-a"}),
        ("CA", "SPF No.1/No.2", 1.4, {"imposed-area-a"}),
        ("AU", "MGP10", 1.5, {"imposed-area-a"}),
    ],
)
def test_the_codes_of_other_countries_have_figures_of_their_own(floor, asked, country, grade, least, parts):
    """30 psf of sleeping rooms in the United States is 1.436 kN/m²."""
    floor["site"] = {"country": country, "service_class": 1}
    for piece in (*floor["members"], *(support["seat"] for support in floor["supports"])):
        piece["grade"] = grade
    width = 600.0 / least
    assert asked(floor | {"spacing_mm": 0.999 * width}) == set()
    assert asked(floor | {"spacing_mm": 1.03 * width}) == parts
