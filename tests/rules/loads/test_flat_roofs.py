"""Flat roofs: wind by EN 1991-1-4 7.2.3 and snow, against a public copy of the table, published worksheets and hand calculation."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

FRANCE = {
    "country": "FR",
    "snow_ground_kn_per_m2": 0.65,
    "snow_ground_edition": "EN 1991-1-3/NA",
    "wind_speed_m_per_s": 22.0,
    "terrain": "III",
}
TABLE = {
    "F": {0.0: -1.8, 0.025: -1.6, 0.05: -1.4, 0.1: -1.2},
    "G": {0.0: -1.2, 0.025: -1.1, 0.05: -0.9, 0.1: -0.8},
    "H": {0.0: -0.7, 0.025: -0.7, 0.05: -0.7, 0.1: -0.7},
    "I": {0.0: -0.2, 0.025: -0.2, 0.05: -0.2, 0.1: -0.2},
}
"""Table 7.2, c_pe,10 with sharp edges and parapets: a public copy, http://proektsoft-bg.com/CalcPad/Reference/wind_Cpe_roof_0.html."""


def flat(
    roof: dict[str, Any] | None = None, *, span: float = 12_000, overhang: float = 0.0, fall: float = 0.0, **site: Any
) -> dict[str, Any]:
    """Rafters a metre apart across a building of 12 m by 30 m, 6 m high: level, or falling to the left."""
    at = {"A": -overhang, "B": 0.0, "C": span, "D": span + overhang}
    names = ["A", "B", "C", "D"] if overhang else ["B", "C"]
    return {
        "format": "birdsmouth-design-1", "reference": "F1", "component_type": "cut-roof", "spacing_mm": 1000, "site": FRANCE | site,
        "roof": {"ridge_height_m": 6.0, "building_length_m": 30.0, "building_width_m": span / 1000.0, "openings": "none"} | (roof or {}),
        "nodes": [{"id": name, "x_mm": x, "y_mm": fall * x} for name, x in at.items() if name in names],
        "members": [{"id": "R", "role": "rafter", "nodes": names, "section": {"b_mm": 75, "h_mm": 300}, "grade": "C24"}],
        "supports": [{"id": "S1", "node": "B", "holds": ["x", "y"]}, {"id": "S2", "node": "C", "holds": ["y"]}],
        "loading": {"layers": [{"what": "felt", "on": "roof", "kn_per_m2": 0.4, "measured": "slope"}]},
    }  # fmt: skip


def pressure(derived) -> float:
    """The one peak pressure all cases rest on."""
    (found,) = {step.value for each in derived.derivations for step in each.steps if step.symbol == "q_p"}
    return found


def test_the_zones_of_a_level_roof(cases, worked_out, lines):
    """Own, from Figure 7.6 and Table 7.2: h 6, b 30 or 12, so e 12 m: F 1.2 m, H to 6 m, I behind; corners 3 m. Inside +0.2 and -0.3."""
    _, derived = worked_out(flat())
    q_p = pressure(derived)
    found = {name: action for name, action in cases(flat()).items() if name.startswith("wind")}
    assert len(found) == 11, "pressed along the building and blown up from inside is in balance, and no case"
    parts = [(load.from_mm, load.to_mm) for load in found["wind-left-lifted-blown"].loads]
    assert parts == [(0.0, 1200.0), (1200.0, 6000.0), (6000.0, 12_000.0)]
    net = {name: [round(each / q_p, 6) for each in lines(action)["R"]] for name, action in found.items()}
    assert net["wind-left-lifted-blown"] == [-2.0, -0.9, -0.4]
    assert net["wind-left-pressed-sucked"] == [-1.5, -0.4, 0.5]
    assert net["wind-along-lifted-blown"] == [-2.0, -1.4, -2.0]
    assert net["wind-along-pressed-sucked"] == [0.5]
    corners = [(load.from_mm, load.to_mm) for load in found["wind-along-lifted-blown"].loads]
    assert corners == [(0.0, 3000.0), (3000.0, 9000.0), (9000.0, 12_000.0)]


def test_never_near_a_gable_no_corner_counts(cases, worked_out, lines):
    document = flat({"stands": "inner"})
    q_p = pressure(worked_out(document)[1])
    assert [round(each / q_p, 6) for each in lines(cases(document)["wind-left-lifted-blown"])["R"]] == [-1.4, -0.9, -0.4]
    assert [round(each / q_p, 6) for each in lines(cases(document)["wind-along-lifted-blown"])["R"]] == [-0.9]


def test_a_roof_that_ends_before_zone_i_is_lifted_only(cases):
    names = {name for name in cases(flat(span=5000)) if name.startswith("wind-left")}
    assert names == {"wind-left-lifted-blown", "wind-left-lifted-sucked"}


@pytest.mark.parametrize("ratio", [0.0, 0.025, 0.05, 0.1])
@pytest.mark.parametrize("zone", "FGHI")
def test_coefficients_are_those_of_the_table(zone, ratio, cases, worked_out, lines):
    """Parapets on both sides, so the wind over either meets one; the pressure stands at their top."""
    parapets = [{"side": side, "height_m": ratio * 6.0} for side in ("left", "right")] if ratio else []
    document = flat({"stands": "inner" if zone == "G" else "end", "parapets": parapets})
    net = [each / pressure(worked_out(document)[1]) for each in lines(cases(document)["wind-left-lifted-blown"])["R"]]
    place = {"F": 0, "G": 0, "H": 1, "I": 2}[zone]
    assert net[place] + 0.2 == pytest.approx(TABLE[zone][ratio], abs=1e-6)


@pytest.mark.parametrize(("height", "expected"), [(0.1, -1.8), (0.225, -1.5), (3.0, -1.2)])
def test_between_and_beyond_the_rows_of_parapets(height, expected, cases, worked_out, lines):
    """A lower parapet than the table's counts for nothing, a higher one for no more than its highest, between them the straight line."""
    document = flat({"parapets": [{"side": "left", "height_m": height}]})
    net = lines(cases(document)["wind-left-lifted-blown"])["R"][0] / pressure(worked_out(document)[1])
    assert net + 0.2 == pytest.approx(expected, abs=1e-6)
    other = lines(cases(document)["wind-right-lifted-blown"])["R"][0] / pressure(worked_out(document)[1])
    assert other + 0.2 == pytest.approx(-1.8, abs=1e-6), "the parapet on the left calms nothing on the right"


def test_a_published_flat_roof_behind_a_parapet(worked_out):
    """Worksheet "Wind loading" (https://www.scribd.com/document/714265932/G-Wind-loading): 14.42 by 11.2 m, roof 13.08 m, parapet 0.4 m,
    v_b,0 22, category III: z 13.48, k_r 0.215, c_r 0.82, v_m 18.0, I_v 0.263, q_p 0.58 kN/m²."""
    roof = {
        "ridge_height_m": 13.08,
        "building_length_m": 14.42,
        "parapets": [{"side": "left", "height_m": 0.4}, {"side": "right", "height_m": 0.4}],
    }
    _, derived = worked_out(flat(roof, span=11_200))
    steps = {step.symbol: step.value for each in derived.derivations for step in each.steps if each.action.nature == "wind"}
    assert steps["z"] == pytest.approx(13.48)
    printed = {"k_r": (0.215, 5e-4), "c_r": (0.82, 5e-3), "v_m": (18.0, 0.05), "I_v": (0.263, 5e-4), "q_p": (0.58, 5e-3)}
    assert {name: steps[name] for name in printed} == {name: pytest.approx(value, abs=within) for name, (value, within) in printed.items()}


@pytest.mark.parametrize("fall", [0.0, 0.03, 0.0523, 0.07, 0.0874])
def test_the_zones_cover_the_roof_once_at_any_fall_below_five_degrees(fall, cases):
    """0, 1.7, 3, 4 and 4.995°: level to the snow or one slope, flat to the wind in any case."""
    for name, action in cases(flat(overhang=500, fall=fall)).items():
        if name.startswith("wind"):
            parts = sorted((load.from_mm or 0.0, load.to_mm) for load in action.loads)
            assert parts[0][0] == 0.0
            assert parts[-1][1] is None or parts[-1][1] == pytest.approx(13_000 * (1 + fall**2) ** 0.5, abs=0.01)
            assert all(one[1] == pytest.approx(other[0], abs=0.01) for one, other in itertools.pairwise(parts)), name


def test_below_a_windward_overhang_stands_the_pressure_of_the_wall(cases, worked_out, lines):
    """Own: 0.8 from below in place of 0.2 from inside, as far as the roof stands out; F goes on behind the wall."""
    document = flat(overhang=500)
    net = [round(each / pressure(worked_out(document)[1]), 6) for each in lines(cases(document)["wind-left-lifted-blown"])["R"]]
    assert net == [-2.6, -2.0, -0.9, -0.4]


def test_the_kingdom_s_own_table_is_asked_for(worked_out):
    """Its annex has Table NA.5 for flat roofs (list of tables of a public copy, https://idoc.tips/uk-na-pdf-free.html): not held, so open."""
    _, derived = worked_out(flat(country="GB", altitude_m=50))
    assert {doubt.part: doubt.kind for doubt in derived.doubts}["wind-flat"] == "open"
    assert "wind-flat" not in {doubt.part for doubt in worked_out(flat())[1].doubts}


def test_sharp_edges_are_told_unless_there_are_parapets(worked_out):
    for parapets, told in (([], True), ([{"side": "left", "height_m": 0.3}], False)):
        _, derived = worked_out(flat({"parapets": parapets}))
        assert ("/roof/parapets" in {each.pointer for each in derived.assumptions}) is told


def test_snow_on_a_level_roof(cases, lines):
    """EN 1991-1-3 5.3.2, mono-pitch roofs down to level: one arrangement, 0.8 s_k; a published flat roof has 0.8 × 0.65 = 0.52
    (Steel Buildings in Europe, Part 3, https://infosteel.be/images/Steel-Buildings-in-Europe/SSB03/49, 5.7°)."""
    found = cases(flat())
    assert [name for name in found if name.startswith("snow")] == ["snow-even"]
    assert lines(found["snow-even"]) == {"R": [pytest.approx(0.52)]}


def test_high_up_snow_hangs_over_both_edges_of_a_level_roof(cases):
    """Own: 0.52 kN/m², d = 0.52/3, k = min(3/d, 3 d), s_e = k 0.52²/3 kN/m (6.3(2))."""
    points = [load for load in cases(flat(overhang=500, altitude_m=900.0))["snow-even"].loads if hasattr(load, "point_kn")]
    depth = 0.52 / 3.0
    assert [load.at_mm for load in points] == [0.0, 13_000.0]
    assert [load.point_kn for load in points] == [pytest.approx(3.0 * depth * 0.52**2 / 3.0)] * 2


def test_a_roof_level_in_part_is_asked_about(worked_out):
    """A level stretch behind a slope is neither flat nor a slope."""
    document = flat()
    document["nodes"].append({"id": "E", "x_mm": 15_000, "y_mm": -800})
    document["members"].append({"id": "R2", "role": "rafter", "nodes": ["C", "E"], "section": {"b_mm": 75, "h_mm": 300}, "grade": "C24"})
    assert {"snow", "wind"} <= {doubt.part for doubt in worked_out(document)[1].doubts}


def heap(action) -> dict[str, float]:
    """Of a drift on one level rafter: line load at the obstacle and where the drift ends, how far it reaches, and the line beyond it."""
    drift = next(load for load in action.loads if load.line_end_kn_per_m is not None)
    ends = sorted((drift.line_kn_per_m, drift.line_end_kn_per_m))
    beyond = [load.line_kn_per_m for load in action.loads if load is not drift]
    return {"at": ends[1], "end": ends[0], "reach": (drift.to_mm or 0.0) - (drift.from_mm or 0.0), "beyond": max(beyond, default=0.0)}


@pytest.mark.parametrize(("rise", "reach"), [(3.0, 6000.0), (4.25, 8500.0)], ids=["at the ridge", "at the eaves"])
def test_a_published_drift_against_a_higher_building(rise, reach, cases):
    """Steel Buildings in Europe, Single-storey buildings, Part 3, Appendix A (https://infosteel.be/images/Steel-Buildings-in-Europe/SSB03/50):
    s_k 0.65, b_1 10 m under 8.5°, b_2 40 m: μ_w 8.3 or 5.9, bounded by 4; 2.60 kN/m² at the wall, l_s 6 or 8.5 m, 0.52 beyond."""
    neighbour = {"side": "left", "what": "taller-building", "rise_m": rise, "width_m": 10.0, "pitch_deg": 8.5}
    found = cases(flat({"neighbours": [neighbour]}, span=40_000))["snow-wall-left"]
    assert heap(found) == {
        "at": pytest.approx(2.60),
        "end": pytest.approx(0.52),
        "reach": pytest.approx(reach),
        "beyond": pytest.approx(0.52),
    }


def test_a_published_drift_in_the_kingdom(cases, worked_out):
    """Calculations for 23 Nightingale Avenue, Cambridge, 2010 (https://pt.scribd.com/document/373333758/roofcalcs-xls): zone 3 at 14 m s_k 0.34;
    a flat roof 4.2 m wide against a gable 1.5 m high, 5.2 m across: μ_3 2.48, s 0.83 kN/m²; undrifted 0.27."""
    neighbour = {"side": "left", "what": "taller-building", "rise_m": 1.5, "width_m": 5.2, "pitch_deg": 0}
    site = {"country": "GB", "snow_zone": 3, "altitude_m": 14, "snow_ground_kn_per_m2": None}
    document = flat({"neighbours": [neighbour]}, span=4200, **site)
    found, steps = cases(document), [step for each in worked_out(document)[1].derivations for step in each.steps]
    assert next(step.value for step in steps if step.symbol == "s_k") == pytest.approx(0.34, abs=5e-3)
    assert next(step.value for step in steps if step.symbol == "μ_1" and step.value > 1.0) == pytest.approx(2.48, abs=5e-3)
    assert heap(found["snow-wall-left"])["at"] == pytest.approx(0.83, abs=5e-3)
    assert found["snow-even"].loads[0].line_kn_per_m == pytest.approx(0.27, abs=5e-3)
