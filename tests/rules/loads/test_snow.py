"""Snow against published examples and hand calculation; its laws: no jumps, symmetry, more where there is more."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from rules.library import Known
from rules.packs.eurocode_basis.quantities import snow
from rules.packs.uk_national.quantities import ground_snow as zones

PITCHES = [3.0, 8.0, 14.9, 15.0, 15.1, 22.0, 29.9, 30.0, 30.1, 37.0, 44.9, 45.0, 52.0, 59.9, 60.0, 60.1, 70.0]
FRANCE = {"country": "FR", "snow_zone": None, "snow_ground_kn_per_m2": 0.65, "snow_ground_edition": "EN 1991-1-3/NA"}
HIGHER = {"side": "left", "what": "taller-building", "rise_m": 2.0, "width_m": 10.0, "pitch_deg": 0}


@pytest.mark.parametrize(("zone", "altitude", "expected"), [(3, 100, 0.50), (4, 100, 0.60), (5, 100, 0.70), (3, 90, 0.481), (3, 60, 0.424)])
def test_the_zone_formula_with_the_sign_of_corrigendum_1(zone, altitude, expected):
    """NA to BS EN 1991-1-3 with corrigendum 1: 0.15 + (0.1 Z + 0.05) + (A - 100)/525, arithmetic on the formula as read. With + 100,
    as first printed, zone 3 at 100 m would be 0.88."""
    found = zones.ground_snow(0.15, 0.1, zone, 0.05, altitude, 100.0, 525.0)
    assert found == pytest.approx(expected, abs=5e-4)


def test_more_snow_higher_up_and_in_a_higher_zone():
    by_altitude = [zones.ground_snow(0.15, 0.1, 3, 0.05, a, 100.0, 525.0) for a in range(0, 1000, 50)]
    by_zone = [zones.ground_snow(0.15, 0.1, z, 0.05, 100.0, 100.0, 525.0) for z in (1, 2, 3, 4, 5)]
    assert by_altitude == sorted(by_altitude)
    assert by_zone == sorted(by_zone)


def test_a_published_duopitch_of_8_5_degrees(roof, cases, lines):
    """Steel Buildings in Europe, Single-storey buildings, Part 3, 2009, Appendix A (https://infosteel.be/images/Steel-Buildings-in-Europe/
    SSB03/48): s_k 0.65, pitch 8.5°: 0.52 on both slopes, or 0.26 on one of them."""
    found = cases(roof(site=FRANCE, shape={"pitch_deg": 8.5}))
    assert lines(found["snow-even"]) == {"TC1": [pytest.approx(0.52)], "TC2": [pytest.approx(0.52)]}
    assert lines(found["snow-drifted-left"]) == {"TC1": [pytest.approx(0.52)], "TC2": [pytest.approx(0.26)]}
    assert lines(found["snow-drifted-right"]) == {"TC1": [pytest.approx(0.26)], "TC2": [pytest.approx(0.52)]}


@pytest.mark.parametrize(("reach", "width", "length", "expected", "load"), [(12.5, 25.0, 12.5, 4.00, 2.60), (40.0, 40.0, 15.0, 5.33, 3.46)])
def test_published_drifts_behind_parapets(reach, width, length, expected, load):
    """The same, image 53: h 3 m, s_k 0.65. The second prints b_2 25 m where its own 5.33 needs 40 m."""
    along = float(snow.accident_length(3.0, reach, 15.0))
    assert along == length
    found = float(snow.mu_accident(3.0, 0.65, width, along, 8.0))
    assert found == pytest.approx(expected, abs=0.005)
    assert 0.65 * found == pytest.approx(load, abs=0.01)


def test_in_the_kingdom_it_drifts_to_the_leeward_slope_alone(roof, cases, lines):
    """Own: zone 3 at 100 m 0.5 kN/m²; 35°: μ_1 0.8·25/30, drifted 1.2·25/30 = 1.0 (service/demo/README.md has the same)."""
    found = cases(roof())
    assert lines(found["snow-even"]) == {"TC1": [pytest.approx(0.5 * 0.8 * 25 / 30)], "TC2": [pytest.approx(0.5 * 0.8 * 25 / 30)]}
    assert lines(found["snow-drifted-left"]) == {"TC1": [pytest.approx(0.5)]}
    assert lines(found["snow-drifted-right"]) == {"TC2": [pytest.approx(0.5)]}
    assert {action.one_of for name, action in found.items() if name.startswith("snow")} == {"snow"}


@pytest.mark.parametrize("pitch", [10.0, 15.0, 16.0])
def test_there_one_slope_may_be_bare_at_any_pitch(pitch, roof, cases, lines):
    """Advisory note AD 484: all the snow gone from one slope is a persistent case; 15° as its bound was never read. 0.8·0.5 to 15°."""
    found = cases(roof(shape={"pitch_deg": pitch}))
    assert lines(found["snow-drifted-left"]) == {"TC1": [pytest.approx(0.5 * (0.8 + 0.4 * max(pitch - 15.0, 0.0) / 15.0))]}


@pytest.mark.parametrize(("table", "points"), [("mu_1", {15: 0.8, 30: 0.8, 45: 0.4, 60: 0.0}), ("mu_drifted", {0: 0.8, 15: 0.8, 22.5: 1.0, 30: 1.2, 45: 0.6, 60: 0.0})])  # fmt: skip
def test_shape_factors_have_no_jump(table, points, library):
    """0.8(60-α)/30; 0.8+0.4(α-15)/15; 1.2(60-α)/30, of which the pieces join at 15, 30 and 60°."""
    national = {value.name: value for value in (*library.pack("eurocode-basis").values, *library.pack("uk-national").values)}
    known = Known(national, {})
    for pitch, expected in points.items():
        assert known.between(table, float(pitch)).value == pytest.approx(expected)
    swept = [known.between(table, pitch).value for pitch in np.arange(0.0, 90.01, 0.05).tolist()]
    assert max(abs(one - other) for one, other in itertools.pairwise(swept)) < 0.0021


def test_no_load_jumps_with_the_pitch(roof, cases, lines):
    """Half a degree of pitch never moves the even load by more than 0.8/60 of the ground snow."""
    even = {}
    for pitch in PITCHES:
        found = cases(roof(shape={"pitch_deg": pitch}))
        even[pitch] = lines(found["snow-even"])["TC1"][0] if "snow-even" in found else 0.0
    for low, high in itertools.pairwise(PITCHES):
        assert abs(even[high] - even[low]) <= 0.5 * 0.8 / 30.0 * (high - low) + 1e-9
        assert even[high] <= even[low] + 1e-12


def test_a_steep_roof_is_bare_and_says_so(roof, worked_out):
    design, derived = worked_out(roof(shape={"pitch_deg": 62}))
    declined = next(action for action in design.actions if action.declines == "snow")
    assert declined.none_because == "no snow lies on slopes of 60° and more"
    assert not [each for each in derived.derivations if each.action.nature == "snow" and each.action.loads]


@pytest.mark.parametrize(
    "keeps", [{"snow_guards": True}, {"parapets": [{"side": "left", "height_m": 0.4}, {"side": "right", "height_m": 0.4}]}]
)
def test_fences_and_parapets_keep_snow_on_a_steep_roof(keeps, roof, cases, lines):
    found = lines(cases(roof(shape={"pitch_deg": 50}, roof=keeps))["snow-even"])
    assert found == {"TC1": [pytest.approx(0.8 * 0.5)], "TC2": [pytest.approx(0.8 * 0.5)]}


def test_each_slope_has_its_own_pitch_and_the_mirror_its_mirror(roof, cases, lines):
    found = cases(roof())
    assert lines(found["snow-drifted-left"])["TC1"] == lines(found["snow-drifted-right"])["TC2"]
    assert lines(found["snow-even"])["TC1"] == lines(found["snow-even"])["TC2"]


def test_a_mono_pitch_has_one_case(roof, cases, lines):
    pieces = {role: {"section": {"b_mm": 47, "h_mm": 97}, "grade": "C24"} for role in ("rafter", "ceiling-tie", "post", "web")}
    found = cases(roof(shape={"form": "mono", "pitch_deg": 20, "span_over_plates_mm": 4200, "pieces": pieces}))
    assert [name for name in found if name.startswith("snow")] == ["snow-even"]
    assert lines(found["snow-even"]) == {"TC1": [pytest.approx(0.4)]}


def test_a_wall_gathers_snow_that_lasts(roof, cases):
    """Own: s_k 0.65, h 2 m, b_1 10 m, b_2 the roof: μ_w = min((10 + b_2)/4, 2·2/0.65) clipped to 4; μ_s 0 under a flat roof; l_s 5 m.
    At the wall 4.0·0.65 = 2.6, 5 m away 0.8·0.65 = 0.52; beyond it 0.52."""
    found = cases(roof(site=FRANCE, shape={"pitch_deg": 20}, roof={"neighbours": [HIGHER]}))
    wall = found["snow-wall-left"]
    assert (wall.nature, wall.one_of) == ("snow", "snow")
    heap = wall.loads[0]
    assert (heap.member, heap.line_kn_per_m) == ("TC1", pytest.approx(2.6))
    over = next(load for load in wall.loads if load.member == "TC2" and load.line_end_kn_per_m is not None)
    values = sorted((over.line_kn_per_m, over.line_end_kn_per_m))
    assert values[0] == pytest.approx(0.52)
    assert sum(load.line_kn_per_m == pytest.approx(0.52) and load.line_end_kn_per_m is None for load in wall.loads) == 1


def test_snow_slides_off_a_steep_upper_roof_on_top_of_it():
    """Own: μ_s = 0.8·6/5 over 15°, none up to it; half the snow of the upper slope (0.8·6 m) as a triangle 5 m long: 0.8·6/2 = μ_s·5/2."""
    assert float(snow.mu_s(0.8, 6.0, 5.0, 16.0, 15.0)) == pytest.approx(0.96)
    assert float(snow.mu_s(0.8, 6.0, 5.0, 15.0, 15.0)) == 0.0
    assert float(snow.mu_s(0.8, 6.0, 5.0, 16.0, 15.0)) * 5.0 / 2.0 == pytest.approx(0.5 * 0.8 * 6.0)


def test_wind_gathers_no_less_and_no_more_than_the_range():
    """(b_1+b_2)/2h ≤ γh/s_k, in 0.8 to 4 (Steel Buildings in Europe, image 29)."""
    assert float(snow.mu_w(10.0, 20.0, 5.0, 2.0, 0.65, 0.8, 4.0)) == pytest.approx(3.0)
    assert float(snow.mu_w(10.0, 20.0, 1.0, 2.0, 0.65, 0.8, 4.0)) == pytest.approx(2.0 / 0.65)
    assert float(snow.mu_w(1.0, 1.0, 20.0, 2.0, 0.65, 0.8, 4.0)) == 0.8
    assert float(snow.mu_w(50.0, 50.0, 5.0, 2.0, 0.65, 0.8, 4.0)) == 4.0
    assert float(snow.wall_drift_length(1.0, 5.0, 15.0)) == 5.0
    assert float(snow.wall_drift_length(4.0, 5.0, 15.0)) == 8.0


def test_in_the_kingdom_it_is_an_accident_and_lies_alone(roof, cases):
    """Own: s_k 0.5, h 2 m: μ = min(2·2/0.5, 2·10/l_s, 8), l_s = min(10, width 8.4, 15); 2.38: 1.19 kN/m² at the wall, nothing at the end."""
    found = cases(roof(roof={"neighbours": [HIGHER]}))
    wall = found["snow-wall-left"]
    assert wall.nature == "accidental"
    assert wall.duration == "short"  # it lies as long as other snow does
    assert set(wall.never_with) == {"snow-even", "snow-drifted-left", "snow-drifted-right"}
    width = 8400.0 + 2.0 * (97.0 / 2.0 / math.cos(math.radians(35)) - 97.0 / 2.0) / math.tan(math.radians(35))
    heap = wall.loads[0]
    assert heap.line_kn_per_m == pytest.approx(0.5 * 2.0 * 10.0 / (width / 1000.0), rel=1e-6)
    assert min(min(load.line_kn_per_m, load.line_end_kn_per_m) for load in wall.loads) == pytest.approx(0.0, abs=1e-9)


def test_a_valley_gathers_snow(roof, cases):
    """Own: 35° against 35°: μ_2 1.6 at the eaves, μ_1 0.667 at the ridge; in the kingdom min(2h/s_k, 3, 5) and bare beyond."""
    valley = [{"side": "right", "what": "roof", "pitch_deg": 35}]
    lasting = cases(roof(site=FRANCE, roof={"neighbours": valley}))["snow-valley-right"].loads
    own = next(load for load in lasting if load.member == "TC2")
    assert sorted((own.line_kn_per_m, own.line_end_kn_per_m)) == [pytest.approx(0.65 * 0.8 * 25 / 30), pytest.approx(0.65 * 1.6)]
    assert [load.line_end_kn_per_m for load in lasting if load.member == "TC1"] == [None]
    accident = cases(roof(roof={"neighbours": valley}))["snow-valley-right"]
    assert accident.nature == "accidental"
    assert max(max(load.line_kn_per_m, load.line_end_kn_per_m) for load in accident.loads) == pytest.approx(0.5 * 3.0)


SLOPE = (8400.0 / 2.0 + (97.0 / 2.0 / math.cos(math.radians(35)) - 97.0 / 2.0) / math.tan(math.radians(35))) / 1000.0
"""The couple's slope on plan, m: half the span and what the rafter stands out over the outer edge of the plate."""


@pytest.mark.parametrize("width", [4.0, 8.4, 20.0])
def test_a_wider_roof_beyond_the_valley_blows_more_into_it(width, roof, cases):
    """Own, B.2 from memory: 2 b_3/(l_s1 + l_s2) ≤ 5, b_3 the wider of own roof and the slope beyond, and the roof beyond and own slope."""
    valley = [{"side": "right", "what": "roof", "pitch_deg": 35, "width_m": width}]
    accident = cases(roof(roof={"neighbours": valley}))["snow-valley-right"]
    heap = max(max(load.line_kn_per_m, load.line_end_kn_per_m) for load in accident.loads)
    blown = max(2.0 * SLOPE + width / 2.0, width + SLOPE)
    assert heap == pytest.approx(0.5 * min(2.0 * blown / (SLOPE + width / 2.0), 5.0), rel=1e-6)
    assert heap > 0.5 * 2.9


def test_in_a_low_valley_the_higher_ridge_bounds_the_drift(roof, cases):
    """Own: 8° against 5°, s_k 0.5: 2h/s_k of the higher ridge, here that of 5° over 8 m, 0.70 m; 8° over 4.2 m is 0.60 m."""
    valley = [{"side": "right", "what": "roof", "pitch_deg": 5, "width_m": 16.0}]
    accident = cases(roof(shape={"pitch_deg": 8}, roof={"neighbours": valley}))["snow-valley-right"]
    heap = max(max(load.line_kn_per_m, load.line_end_kn_per_m) for load in accident.loads)
    assert heap == pytest.approx(2.0 * 8.0 * math.tan(math.radians(5.0)), rel=1e-6)


@pytest.mark.parametrize(("country", "width", "asked"), [("GB", None, True), ("GB", 9.0, False), ("FR", None, False)])
def test_how_wide_the_roof_beyond_is_is_asked_where_it_counts(country, width, asked, roof, worked_out):
    valley = {"side": "right", "what": "roof", "pitch_deg": 35} | ({"width_m": width} if width else {})
    _, derived = worked_out(roof(site=FRANCE if country == "FR" else {}, roof={"neighbours": [valley]}))
    assert ("snow-in-valley-right" in {doubt.part for doubt in derived.doubts if doubt.kind == "open"}) is asked


def test_high_up_snow_hangs_over_the_eaves(roof, cases):
    """Own: 900 m, s_k stated 2.0, 30°: s 1.6; d = 1.6/3; k = min(3/d, 3d) = 1.6; s_e = 1.6·1.6²/3 = 1.365 kN at each rafter's end."""
    site = {**FRANCE, "altitude_m": 900, "snow_ground_kn_per_m2": 2.0}
    found = cases(roof(site=site, shape={"pitch_deg": 30, "overhang_mm": 500}))["snow-even"]
    hanging = [load for load in found.loads if hasattr(load, "point_kn")]
    assert [load.point_kn for load in hanging] == [pytest.approx(1.6**3 / 3.0, rel=1e-5)] * 2
    assert [load.at_mm for load in hanging] == [0.0, 0.0]
    assert not [load for load in cases(roof(site={**site, "altitude_m": 800}, shape={"pitch_deg": 30, "overhang_mm": 500}))["snow-even"].loads if hasattr(load, "point_kn")]  # fmt: skip


@pytest.mark.parametrize(
    ("site", "part", "words"),
    [
        ({"snow_zone": None}, "snow", "Neither a snow zone"),
        ({"altitude_m": None}, "snow", "altitude, which is not stated"),
        ({"snow_zone": None, "snow_ground_kn_per_m2": 0.6}, "snow-ground", "without the edition"),
        ({"snow_ground_kn_per_m2": 0.8, "snow_ground_edition": "old map"}, "snow-ground", "0.5 kN/m² on the ground, the design states 0.8"),
        ({"country": "FR"}, "snow", "Neither a snow zone"),
        ({"snow_zone": 0, "altitude_m": -50}, "snow", "Zone and altitude give"),
        ({"snow_zone": None, "snow_ground_kn_per_m2": 0}, "snow", "stated as nothing"),
    ],
)
def test_doubtful_snow_is_asked_about(site, part, words, roof, worked_out):
    _, derived = worked_out(roof(site=site))
    doubts = {doubt.part: doubt for doubt in derived.doubts if doubt.part.startswith("snow")}
    assert set(doubts) == {part}
    assert words in doubts[part].message
    assert doubts[part].kind == "open"
    assert doubts[part].ask.endswith(")")


def test_of_two_statements_the_greater_is_used_until_one_is_withdrawn(roof, cases, lines):
    more = cases(roof(site={"snow_ground_kn_per_m2": 0.8, "snow_ground_edition": "old map"}))
    less = cases(roof(site={"snow_ground_kn_per_m2": 0.3, "snow_ground_edition": "old map"}))
    assert lines(more["snow-even"])["TC1"] == [pytest.approx(0.8 * 0.8 * 25 / 30)]
    assert lines(less["snow-even"])["TC1"] == [pytest.approx(0.5 * 0.8 * 25 / 30)]


def test_neighbours_without_measures_are_asked_about(roof, worked_out):
    neighbours = [{"side": "left", "what": "taller-building"}, {"side": "right", "what": "roof"}]
    _, derived = worked_out(roof(roof={"neighbours": neighbours}))
    assert {doubt.part for doubt in derived.doubts if doubt.kind == "open"} == {"snow-at-wall-left", "snow-in-valley-right"}


def test_the_working_shows_every_number_and_its_source(roof, worked_out):
    _, derived = worked_out(roof())
    even = next(each for each in derived.derivations if each.action.id == "snow-even")
    by_symbol = {step.symbol: step for step in even.steps}
    assert by_symbol["s_k"].expression == "s_0 + (s_Z·Z + s_1) + (A - A_0) / A_s"
    assert by_symbol["s_k"].value == pytest.approx(0.5)
    assert by_symbol["s_k"].cites.seen == "read"
    assert by_symbol["μ_1"].cites.clause.startswith("5.3.2")
    assert by_symbol["q_s"].value == pytest.approx(even.action.loads[0].line_kn_per_m, rel=1e-8)


def test_snow_hangs_over_the_eaves_only_where_some_lies(roof, cases):
    """A parapet keeps snow on one steep slope; from the other, bare one nothing hangs."""
    steep = {"pitch_deg": 62, "overhang_mm": 500}
    found = cases(roof(site={**FRANCE, "altitude_m": 900}, shape=steep, roof={"parapets": [{"side": "left", "height_m": 0.5}]}))
    assert [load.member for load in found["snow-even"].loads if hasattr(load, "point_kn")] == ["TC1"]
