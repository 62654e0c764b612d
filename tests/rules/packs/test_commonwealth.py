"""Canada and Australia: combinations counted by hand, what is from memory says so, and laws that hold for any load, span and section."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from rules.packs.australia_timber.quantities.capacities import k_12_beam
from rules.packs.canada_timber.quantities.resistances import k_c_in_plane, k_l
from rules.subject.actions import Action
from rules.subject.settled import SettledAction

ROOF = [("dead", "permanent"), ("live", "imposed"), ("roof", "roof-imposed"), ("snow", "snow"), ("wind", "wind")]
CANADA = {"country": "CA", "subdivision": "CA-ON", "service_class": 1}
AUSTRALIA = {"country": "AU", "subdivision": "AU-VIC", "service_class": 1}
PLACES = [("canada-timber", CANADA, "SPF No.1/No.2"), ("australia-timber", AUSTRALIA, "MGP10")]
SECTION = {"b_mm": 38.0, "h_mm": 140.0}


@pytest.fixture(scope="module")
def told(shipped):
    def run(id, actions=ROOF):
        pack = shipped.pack(id)
        values = {value.name: value for value in pack.values}
        duration = values["duration"].table
        settled = [
            SettledAction(Action(name, nature, category), duration.look_up([nature, category or ""]), (None, None, None))
            for name, nature, category in ((*each, "A")[:3] for each in actions)
        ]
        ultimate = pack.combine(settled, values)["ultimate"]
        return {ultimate.words(row): ultimate.durations[row] for row in range(len(ultimate))}

    return run


def test_canadian_combinations(told):
    found = told("canada-timber")
    assert {
        "(1) 1.4 G": "permanent",
        "(2a) 1.25 G + 1.5 live": "medium",
        "(2a, permanent low) 0.9 G + 1.5 live + 1 snow": "medium",
        "(2b) 1.25 G + 1.5 live + 0.4 wind": "instantaneous",
        "(3a) 1.25 G + 1 live + 1.5 snow": "medium",
        "(4a, permanent low) 0.9 G + 1.4 wind": "instantaneous",
        "(4b) 1.25 G + 0.5 snow + 1.4 wind": "instantaneous",
    }.items() <= found.items()
    assert not [words for words in found if "roof" in words and ("snow" in words or "wind" in words)]


def test_what_is_stored_counts_for_a_half_more_beside_snow_and_wind(told):
    """NBC 4.1.3.2.(7), as restated in an open module of the code; a load whose category is not known counts as stored."""
    for category in ("E", None):
        found = told(
            "canada-timber",
            [("dead", "permanent"), ("loft", "imposed", category), ("live", "imposed", "A"), ("snow", "snow"), ("wind", "wind")],
        )
        assert {
            "(3a, storage) 1.25 G + 1.5 loft + 1.5 snow",
            "(3a, storage) 1.25 G + 1.5 loft + 1.5 live + 1.5 snow",
            "(3a) 1.25 G + 1 live + 1.5 snow",
            "(4a, permanent low, storage) 0.9 G + 1 loft + 1.4 wind",
            "(2a) 1.25 G + 1.5 loft + 1 snow",
        } <= set(found)
        assert not [
            words for words in found if words.startswith(("(3a)", "(4a)", "(3a, permanent low)", "(4a, permanent low)")) and "loft" in words
        ]


def test_australian_combinations(told):
    found = told("australia-timber")
    assert found == {
        "(4.2.2(a)) 1.35 G": "permanent",
        "(4.2.2(b)) 1.2 G + 1.5 live": "medium",
        "(4.2.2(b)) 1.2 G + 1.5 roof": "short",
        "(4.2.2(b)) 1.2 G + 1.5 live + 1.5 roof": "short",
        "(4.2.2(c)) 1.2 G + 0.9 live": "medium",
        "(4.2.2(d)) 1.2 G + 1 wind": "instantaneous",
        "(4.2.2(d)) 1.2 G + 0.6 live + 1 wind": "instantaneous",
        "(4.2.2(e)) 0.9 G + 1 wind": "instantaneous",
        "(4.2.2(g)) 1.2 G + 1 snow": "medium",
        "(4.2.2(g)) 1.2 G + 0.6 live + 1 snow": "medium",
    }


@pytest.mark.parametrize("id", ["canada-timber", "australia-timber", "grades-ca", "grades-au"])
def test_what_was_not_read_says_so(shipped, id):
    pack = shipped.pack(id)
    assert all(value.cites.source for value in pack.values if value.cites.seen == "read")
    assert all("address" in grade.source or "http" in grade.source for grade in pack.materials if grade.seen == "read")
    for rule in pack.rules:
        assert ("memory" in rule.message) == (rule.cites.seen == "memory") or rule.slug == "cuts", rule.id


def test_visual_grades_grow_together(shipped):
    """A higher F-grade is higher in every property, and G is a fifteenth of E (both as remembered of the table)."""
    grades = {grade.id: grade.properties for grade in shipped.pack("grades-au").materials if grade.id.startswith("F")}
    rising = [grades[id] for id in ("F4", "F5", "F7", "F8", "F11", "F14", "F17")]
    assert len(rising) == len(grades)
    for lower, higher in pairwise(rising):
        assert all(higher[name] > lower[name] for name in lower if name not in ("f_p_mpa", "rho_mean_kg_per_m3"))
    assert all(grade["g_mean_mpa"] == pytest.approx(grade["e_0_mean_mpa"] / 15.0, abs=5.0) for grade in rising)


def _loaded(bar, site, grade, push=3.0, down=0.5, *, length=2400.0, section=SECTION, dead=0.0):
    actions = [
        {"id": "dead", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": max(dead, 1e-6), "along": "member", "direction": "down"}]},
        {"id": "snow", "nature": "snow", "loads": [{"node": "B", "x_kn": -push}, {"member": "M", "line_kn_per_m": down, "along": "member", "direction": "down"}]},
    ]  # fmt: skip
    return bar(
        length, section, grade, restraint={"out_of_plane_mm": 600, "top_edge_mm": 600}, actions=actions, site=site, self_weight=False
    )


def _used(report, pack, slug="bending-with-compression"):
    (found,) = (each for each in report["findings"] if each["rule"] == f"{pack}/{slug}" and each["where"]["member"])
    return found["utilisation"]


@pytest.mark.parametrize(("pack", "site", "grade"), PLACES)
def test_utilisation_grows_with_load_and_length_and_falls_with_depth(bar, checked, pack, site, grade):
    rows = (
        [_used(checked(_loaded(bar, site, grade, push)), pack) for push in (1.0, 2.0, 4.0, 8.0)],
        [_used(checked(_loaded(bar, site, grade, down=down)), pack) for down in (0.2, 0.4, 0.8, 1.6)],
        [_used(checked(_loaded(bar, site, grade, length=length)), pack) for length in (1500.0, 2000.0, 2500.0, 3000.0)],
        [_used(checked(_loaded(bar, site, grade, section={"b_mm": 38.0, "h_mm": depth})), pack) for depth in (140.0, 120.0, 90.0)],
    )
    for row in rows:
        assert row == sorted(row)
        assert len(set(row)) == len(row)


def test_heavy_permanent_load_takes_from_the_strength_under_snow(bar, checked, found):
    """K_D = 1 − 0.50 log(P_L/P_S), by the vertical load on the bearings: dead 1.2 and snow 0.4 kN/m give 1 − 0.5 log 3."""
    report = checked(_loaded(bar, CANADA, "SPF No.1/No.2", push=0.0, down=0.4, dead=1.2))
    finding = found(report, "canada-timber/bending", "M")
    steps = {step["symbol"]: step["value"] for step in finding["working"]}
    assert steps["P_L/P_S"] == pytest.approx(3.0)
    assert steps["K_D"] == pytest.approx(1.0 - 0.5 * 0.47712125472)
    assert finding["combination"].startswith("(3a) 1.25 G")


@pytest.mark.parametrize(("pack", "site", "grade"), PLACES)
def test_a_hole_is_open_and_nothing_is_judged_by_another_tradition(bar, checked, found, pack, site, grade):
    design = _loaded(bar, site, grade)
    design["members"][0]["holes"] = [{"at_mm": 1200, "depth_mm": 20}]
    report = checked(design)
    assert found(report, f"{pack}/cuts", "M")["kind"] == "open"
    assert report["verdict"] == "open"
    used = {finding["rule"].partition("/")[0] for finding in report["findings"]}
    assert not used & {"eurocode-timber", "nds-timber"}
    assert "engine/national-choices" not in {finding["rule"] for finding in report["findings"]}


@pytest.mark.parametrize(("site", "grade"), [(CANADA, "SPF No.1/No.2"), (AUSTRALIA, "MGP10"), ({"country": "US"}, "DF-L No.2")])
def test_an_action_that_no_combination_holds_is_open(bar, checked, found, site, grade):
    design = _loaded(bar, site, grade)
    assert "engine/actions-left-out" not in {finding["rule"] for finding in checked(design)["findings"]}
    design["actions"].append({"id": "crash", "nature": "accidental", "loads": [{"node": "B", "x_kn": -1.0}]})
    report = checked(design)
    finding = found(report, "engine/actions-left-out")
    assert (finding["kind"], finding["where"]["pointer"]) == ("open", "/actions")
    assert "crash" in finding["message"]
    assert report["verdict"] in ("open", "fail")


def test_australian_stability_falls_without_a_jump():
    slender = np.linspace(0.0, 60.0, 60001)
    found = k_12_beam(1.0, slender, 10.0, 20.0, 1.5, 0.05, 200.0)
    assert found[0] == 1.0
    assert (np.diff(found) <= 0.0).all()
    assert np.diff(found).min() > -1e-4


def test_canadian_stability_falls_with_slenderness():
    """Where tipping turns elastic the two printed formulas meet within half a per cent: 1 − 1/3 and 0.65/0.97."""
    columns = k_c_in_plane(11.5, 1.0, np.linspace(0.0, 50.0, 5001), 35.0, 6500.0)
    assert columns[0] == 1.0
    assert (np.diff(columns) < 0.0).all()
    turn = np.sqrt(0.97 * 9500.0 / 11.8)
    slender = np.linspace(0.0, 49.9, 4991)
    beams = k_l(slender, turn, 10.0, 0.65, 9500.0, 1.0, 1.0, 11.8, 50.0)
    assert (beams[slender <= 10.0] == 1.0).all()
    assert np.diff(beams).max() < 0.005
    assert beams[-1] == pytest.approx(0.65 * 9500.0 / (49.9**2 * 11.8))
