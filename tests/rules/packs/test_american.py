"""The American packs: values converted without loss, laws that hold for any load, span and section, and whole designs."""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest

import rules.packs
from rules.packs.nds_timber.quantities.stability import c_l, c_p

PSI = 0.45359237 * 9.80665 / 0.0254**2 * 1e-6
"""N/mm² in one pound-force per square inch, exact by the definitions of pound, standard gravity and inch."""
PRINTED = re.compile(r"# psi: Fb (\d+), Ft (\d+), Fv (\d+), Fc⊥ (\d+), Fc (\d+), E (\d+), Emin (\d+)")


def test_every_reference_value_is_the_printed_one_to_the_last_digit(shipped):
    text = (Path(rules.packs.__file__).parent / "grades_nds" / "materials.yaml").read_text("utf-8")
    printed = [tuple(map(int, found.groups())) for found in PRINTED.finditer(text)]
    names = ("f_b_mpa", "f_t_mpa", "f_v_mpa", "f_c_perp_mpa", "f_c_mpa", "e_0_mean_mpa", "e_min_mpa")
    held = [tuple(grade.properties[name] for name in names) for grade in shipped.pack("grades-nds").materials]
    assert len(printed) == len(held) >= 30
    for want, have in zip(printed, held, strict=True):
        assert have == tuple(value * PSI for value in want)
        assert tuple(round(value / PSI) for value in have) == want


def test_stability_modulus_follows_from_the_mean_one(shipped):
    """E_min = 1.03 E (1 − 1.645 COV)/1.66 (NDS Appendix D, from memory), COV 0.25 of visually graded and 0.11 of machine stress
    rated lumber, printed in tens of thousands of psi."""
    for grade in shipped.pack("grades-nds").materials:
        spread = 0.11 if grade.family == "4C" else 0.25
        worked = 1.03 * grade.properties["e_0_mean_mpa"] * (1 - 1.645 * spread) / 1.66
        assert grade.properties["e_min_mpa"] == pytest.approx(worked, abs=6000 * PSI), grade.id


def test_the_column_factor_is_the_lesser_root_and_stays_between_its_bounds():
    """A page on the web prints a plus before the root; the minus is right: a short column keeps all of its strength, a long one F_cE/F_c*."""
    ratio = np.geomspace(1e-4, 1e4, 4001)
    found = c_p(ratio, 0.8)
    assert (found > 0.0).all()
    assert (found < np.minimum(1.0, ratio)).all()
    assert (np.diff(found) > 0.0).all()
    assert found[0] == pytest.approx(ratio[0], rel=1e-3)
    assert found[-1] == pytest.approx(1.0, rel=1e-3)


def test_the_beam_factor_rises_with_stiffness_and_is_one_without_tipping():
    critical = np.geomspace(1e-3, 1e6, 2001)
    found = c_l(critical, 10.0, 1.9, 0.95)
    assert (np.diff(found) > -1e-12).all()
    assert 0.0 < found[0] < 0.001
    assert found[-1] == pytest.approx(1.0, abs=1e-4)
    assert c_l(np.array([math.inf]), 10.0, 1.9, 0.95)[0] == 1.0


SECTION = {"b_mm": 38.1, "h_mm": 139.7}
SITE = {"country": "US", "service_class": 1, "snow_ground_edition": "ASCE 7-16"}


def _loaded(bar, push, down, *, length=2400.0, parameters=None, site=SITE, section=SECTION, grade="DF-L No.2"):
    actions = [
        {"id": "dead", "nature": "permanent", "loads": [{"node": "B", "x_kn": -push}]},
        {"id": "snow", "nature": "snow", "loads": [{"member": "M", "line_kn_per_m": down, "along": "member", "direction": "down"}]},
    ]
    codes = {name: {"value": value, "reason": "test"} for name, value in (parameters or {}).items()}
    return bar(
        length,
        section,
        grade,
        restraint={"out_of_plane_mm": 600},
        actions=actions,
        site=site,
        codes={"parameters": codes},
        self_weight=False,
    )


def _used(report, rule, part=""):
    (found,) = (each for each in report["findings"] if each["rule"] == rule and each["part"] == part and each["where"]["member"])
    return found["utilisation"]


BOTH = "nds-timber/bending-with-compression"


def test_utilisation_grows_with_load_and_length_and_falls_with_depth(bar, checked):
    by_push = [_used(checked(_loaded(bar, push, 0.8)), BOTH, "in-plane") for push in (1.0, 2.0, 4.0, 8.0, 16.0)]
    by_load = [_used(checked(_loaded(bar, 3.0, down)), BOTH, "in-plane") for down in (0.2, 0.4, 0.8, 1.6)]
    by_length = [_used(checked(_loaded(bar, 3.0, 0.8, length=length)), BOTH, "in-plane") for length in (1500.0, 2000.0, 2500.0, 3000.0)]
    by_depth = [
        _used(checked(_loaded(bar, 3.0, 0.8, section={"b_mm": 38.1, "h_mm": depth})), BOTH, "in-plane")
        for depth in (235.0, 184.15, 139.7, 88.9)
    ]
    for row in (by_push, by_load, by_length, by_depth):
        assert row == sorted(row)
        assert len(set(row)) == len(row)


def test_the_same_wood_is_judged_alike_whichever_way_the_beam_is_written(bar, checked):
    design = _loaded(bar, 3.0, 0.8)
    turned = {**design, "members": [{**design["members"][0], "nodes": ["B", "A"]}]}
    assert _used(checked(turned), BOTH, "in-plane") == pytest.approx(_used(checked(design), BOTH, "in-plane"), rel=1e-9)


def test_snow_of_one_edition_with_the_factors_of_the_other_fails_and_cannot_be_waived(bar, checked, found):
    for stated, wanted, kind in (
        ("ASCE 7-16", "7-16", "pass"),
        ("ASCE 7-22", "7-16", "fail"),
        ("ASCE 7-16", "7-22", "fail"),
        (None, "7-16", "open"),
    ):
        site = {"country": "US", "service_class": 1, **({"snow_ground_edition": stated} if stated else {})}
        design = _loaded(bar, 1.0, 0.1, site=site, parameters={"load_edition": wanted})
        design["waivers"] = [
            {"rule": "asce-loads/ground-snow-edition", "element": {"kind": "design", "id": "CASE"}, "part": "", "reason": "hurry",
             "approved_by": "nobody", "expires": "2030-01-01"}
        ]  # fmt: skip
        report = checked(design)
        finding = found(report, "asce-loads/ground-snow-edition")
        assert finding["kind"] == kind
        assert finding["waiver"] is None
        assert (report["verdict"] == "fail") == (kind == "fail")


def test_factored_loads_and_allowable_stress_agree_where_they_must(bar, checked):
    """Under dead load alone: 1.4 D against 2.16 · 0.6 · F over D against 0.9 · F, the same to K_F φ = 2.16 as printed."""
    tie = bar(
        2400,
        SECTION,
        "DF-L No.2",
        site=SITE,
        self_weight=False,
        actions=[{"id": "d", "nature": "permanent", "loads": [{"node": "B", "x_kn": 5.0}]}],
    )
    factored = {**tie, "codes": {"parameters": {"design_method": {"value": "LRFD", "reason": "test"}}}}
    asd, lrfd = (_used(checked(each), "nds-timber/tension") for each in (tie, factored))
    assert lrfd / asd == pytest.approx(1.4 * 0.9 / (2.70 * 0.80 * 0.6), rel=1e-9)


def test_a_grade_of_another_tradition_is_refused(bar, checked):
    from rules.subject.faults import DesignRefused

    with pytest.raises(DesignRefused) as refusal:
        checked(bar(2400, SECTION, "C24", site=SITE, self_weight=True, actions=[]))
    assert [(fault.pointer, fault.code) for fault in refusal.value.faults] == [("/members/0/grade", "unknown-grade")]


def test_a_grade_of_the_caller_brings_its_reference_values_and_its_family(bar, checked, found):
    values = {"f_b_mpa": 10.0, "f_t_mpa": 6.0, "f_v_mpa": 1.2, "f_c_perp_mpa": 4.0, "f_c_mpa": 10.0, "e_min_mpa": 4000.0}
    mine = {"id": "MINE", "kind": "solid-timber", "tradition": "us", "e_0_mean_mpa": 11000, "reference_values": values, "family": "4A"}
    design = bar(2400, SECTION, "MINE", site=SITE, self_weight=False, materials={"grades": [mine]},
                 actions=[{"id": "d", "nature": "permanent", "loads": [{"node": "B", "x_kn": 5.0}]}])  # fmt: skip
    assert found(checked(design), "nds-timber/tension")["utilisation"] == pytest.approx(5000 / (38.1 * 139.7) / (6.0 * 0.9 * 1.3))
    bare = {**design, "materials": {"grades": [{name: value for name, value in mine.items() if name != "family"}]}}
    finding = found(checked(bare), "nds-timber/tension")
    assert finding["kind"] == "open"
    assert "family" in finding["message"]
    short = {**mine, "reference_values": {name: value for name, value in values.items() if name != "f_t_mpa"}}
    assert found(checked({**design, "materials": {"grades": [short]}}), "nds-timber/tension")["kind"] == "open"


def test_two_traditions_are_refused(bar, checked):
    from rules.subject.faults import DesignRefused

    design = bar(2400, SECTION, "DF-L No.2", site=SITE, actions=[], codes={"packs": ["nds-timber", "eurocode-timber"]})
    with pytest.raises(DesignRefused) as refusal:
        checked(design)
    assert [fault.code for fault in refusal.value.faults] == ["two-traditions"]


FLOOR = {"country": "US", "service_class": 1}


def _floor(bar, **more):
    actions = [
        {"id": "dead", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 0.2, "along": "member", "direction": "down"}]},
        {"id": "live", "nature": "imposed", "category": "A", "loads": [{"member": "M", "line_kn_per_m": 0.78, "along": "member", "direction": "down"}]},
    ]  # fmt: skip
    return bar(3600, {"b_mm": 38.1, "h_mm": 235.0}, "DF-L No.2", actions=actions, site=FLOOR, component_type="solid-joist", **more)


def test_movement_is_that_of_live_load_alone(bar, checked, found):
    """5 q L⁴/(384 E I) with E of the grade, which holds shear already; limit L/360. Dead load moves nothing here."""
    finding = found(checked(_floor(bar, member={"role": "joist"})), "us-irc/deflection", "M", "live")
    second = 38.1 * 235.0**3 / 12
    assert finding["demand"]["value"] == pytest.approx(5 * 0.78 * 3600.0**4 / (384 * 1600000 * PSI * second), rel=1e-6)
    assert finding["limit"]["value"] == pytest.approx(10.0)
    assert finding["combination"] == "(live) 1 live"


def test_cuts_of_a_solid_joist_have_limits_and_trusses_none(bar, checked, found):
    notched = {
        "role": "joist",
        "notches": [{"at_mm": 600, "depth_mm": 30, "length_mm": 60, "face": "upper"}],
        "holes": [{"at_mm": 2900, "depth_mm": 60}],
    }
    report = checked(_floor(bar, member=notched))
    assert found(report, "us-irc/cut-limits", "M", "notch")["kind"] == "pass"
    assert found(report, "us-irc/cut-limits", "M", "hole")["kind"] == "pass"
    assert found(report, "us-irc/truss-not-cut", "M")["kind"] == "notApplicable"
    middle = {"role": "joist", "notches": [{"at_mm": 1800, "depth_mm": 10, "length_mm": 60, "face": "upper"}]}
    assert found(checked(_floor(bar, member=middle)), "us-irc/cut-limits", "M", "notch")["kind"] == "fail"


def test_the_report_says_what_a_truss_drawing_would_lack(bar, checked, found):
    design = _floor(bar, member={"role": "bottom-chord"})
    design["component_type"] = "trussed-rafter"
    report = checked(design)
    for slug in ("spacing", "wind", "bracing", "connectors"):
        finding = found(report, f"us-irc/drawing-states-{slug}")
        assert (finding["kind"], finding["level"]) == ("fail", "warning")
    complete = design | {
        "spacing_mm": 610,
        "site": FLOOR | {"wind_speed_m_per_s": 51.4, "terrain": "exposure B"},
        "bracing": {"none_because": "by others"},
        "joints": {"none_because": "by others"},
    }
    for slug in ("spacing", "wind", "bracing", "connectors"):
        assert found(checked(complete), f"us-irc/drawing-states-{slug}")["kind"] == "pass"


@pytest.mark.parametrize("extra", ["us-irc", "us-termites", "workshop-practice"])
def test_no_pack_changes_what_another_finds(bar, checked, extra):
    """Checked with and without a further pack, every finding of the packs that are in both stays word for word the same."""
    design = _floor(bar, member={"role": "joist"})
    few, more = (checked(design | {"codes": {"packs": packs}}) for packs in (["nds-timber"], ["nds-timber", extra]))
    known = {pack["id"] for pack in few["packs"]}
    said = [[each for each in report["findings"] if each["rule"].partition("/")[0] in known] for report in (few, more)]
    assert said[0] == said[1]
    assert len(more["findings"]) > len(few["findings"])


def test_the_snow_of_a_roof_is_held_against_its_ground(couple, checked, found):
    """0.7 · 1.2 · 1.2 · p_g on a slope of 20° (nothing slides below 45°): 1.008 times p_g, on plan, over the width of one truss."""
    rise = 2000.0 * math.tan(math.radians(20))

    def run(line, **site):
        snow = [{"member": name, "line_kn_per_m": line, "along": "plan", "direction": "down"} for name in ("R1", "R2")]
        design = couple(4000, rise, spacing_mm=600, site=SITE | site, actions=[{"id": "snow", "nature": "snow", "loads": snow}])
        for member in design["members"]:
            member["grade"] = "DF-L No.2"
        return found(checked(design), "asce-loads/roof-snow")

    enough, short, unknown = run(1.21, snow_ground_kn_per_m2=2.0), run(1.2, snow_ground_kn_per_m2=2.0), run(1.21)
    assert enough["demand"] == {"value": pytest.approx(2.016), "unit": "kN/m²"}
    assert (enough["kind"], short["kind"], short["level"], unknown["kind"]) == ("pass", "fail", "warning", "open")
