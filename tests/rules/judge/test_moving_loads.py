"""A person anywhere and a floor load on any part: against closed forms, and against every place tried one by one."""

from __future__ import annotations

import datetime
import json
from dataclasses import replace

import pytest

from rules.judge import Options, check
from rules.subject.actions import PointLoad
from service.schemas import load

TODAY = datetime.date(2026, 11, 25)
ALL = Options(include="all", working="all")
SECTION = {"b_mm": 47, "h_mm": 195}
DOWN = {"along": "member", "direction": "down"}


SOFT = 1.0 + 3.0 * (11000 * 195**2 / 12) / (690 * 5 / 6 * 3000**2)
"""1 + Φ/4 with Φ = 12 EI/(G A_s L²): what shear takes off the moment over the middle support (Timoshenko beam, C24, h 195, L 3 m)."""


@pytest.fixture
def two_spans(document):
    """A joist of two spans of 3 m, continuous over the middle support."""
    seat = {"on": "masonry", "length_mm": 100}
    return document | {
        "nodes": [{"id": name, "x_mm": x, "y_mm": 0} for name, x in (("A", 0), ("B", 3000), ("C", 6000))],
        "members": [{"id": "M", "role": "joist", "nodes": ["A", "B", "C"], "section": SECTION, "grade": "C24"}],
        "supports": [{"id": f"S{node}", "node": node, "holds": ["x", "y"] if node == "A" else ["y"], "seat": seat} for node in "ABC"],
        "roof": {"ceiling": "none"},
    }


def run(document, library, **change):
    """Check with the document's first action changed."""
    design = load(json.dumps(document | {"actions": [document["actions"][0] | change]}).encode())
    return check(design, library, as_of=TODAY, options=ALL)


PERSON = {"member": "M", "point_kn": 0.9, "direction": "down", "anywhere": True}


def pick(report, rule, element, part=""):
    (finding,) = (
        f
        for f in report["findings"]
        if f["rule"] == rule and f["part"] == part and element in (f["where"]["member"], f["where"]["support"])
    )
    return finding


def step(finding, symbol):
    return {row["symbol"]: row["value"] for row in finding["working"]}[symbol]


@pytest.fixture
def floor(two_spans):
    return two_spans | {
        "actions": [{"id": "floor", "nature": "imposed", "category": "A", "loads": [{"member": "M", "line_kn_per_m": 1.0, **DOWN}]}]
    }


def test_a_free_load_leaves_a_span_out(floor, library):
    """q = 1.5 kN/m, L = 3 m: both spans loaded give q L²/8 over the support, one alone 49/512 q L² in its span (elementary beam
    theory), the former less what shear takes off, the latter within 2 %."""
    free = run(floor, library, free=True)
    fixed = run(floor, library)
    over_support = pick(free, "eurocode-timber/bending", "M")
    assert abs(step(over_support, "M")) == pytest.approx(1.5 * 3.0**2 / 8 * 1e6 / SOFT, rel=1e-6)
    assert "floor on M 0 to 3000 mm; floor on M 3000 to 6000 mm" in over_support["combination"]
    sag = {name: pick(report, "eurocode-timber/deflection", "M", "span-instant") for name, report in (("free", free), ("fixed", fixed))}
    assert sag["free"]["utilisation"] > 1.5 * sag["fixed"]["utilisation"], "one span loaded sags far more than both"
    assert sag["free"]["combination"].count("floor on M") == 1
    moment = max(abs(row["m"]["max"]["m_knm"]) for row in free["response"]["envelopes"])
    assert moment == pytest.approx(49 / 512 * 1.5 * 9, rel=2e-2), "sagging in the loaded span"


def test_a_free_load_can_lift_a_far_bearing(floor, library):
    free = run(floor, library, free=True)
    uplift = pick(free, "eurocode-timber/holding-down", "SC")
    assert uplift["kind"] == "open"
    assert uplift["demand"]["value"] == pytest.approx(1.5 * 3.0 / 16 / SOFT, rel=1e-6), "q L/16 with the other span loaded alone"


def test_a_person_is_one_person(floor, library):
    """0.9 kN: the greatest moment in a two-span joist is 0.2074 F L at 0.432 L (elementary beam theory); 1.5 · 0.9 · 3 · 0.2074."""
    report = run(floor, library, loads=[PERSON])
    bending = pick(report, "eurocode-timber/bending", "M")
    assert step(bending, "M") == pytest.approx(0.2074 * 1.5 * 0.9 * 3.0 * 1e6, rel=1e-2)
    assert bending["combination"].endswith(f"[floor at {bending['where']['at_mm']:.0f} mm of M]")
    shear = pick(report, "eurocode-timber/shear", "M")
    assert abs(step(shear, "V")) == pytest.approx(1.5 * 900, rel=0.35), "a symmetrical joist: either side of the middle support"
    down = {row["support"]: row for row in report["response"]["reactions"] if row["when"] and "most" in row["when"]}
    assert down["SA"]["y_kn"] == pytest.approx(0.9)
    least = {row["support"]: row for row in report["response"]["reactions"] if row["when"] and "least" in row["when"]}
    assert least["SC"]["words"].endswith("uplift on the bearing")


def test_anywhere_is_the_worst_of_every_place_tried(floor, library):
    """The same places one by one, as cases of one group: the same utilisations, rule by rule."""
    moving = run(floor, library, loads=[PERSON])
    design = load(json.dumps(floor).encode())
    places = [300.0 * step for step in range(21)]
    one_by_one = tuple(
        replace(design.actions[0], id=f"at {place:g}", one_of="person", loads=(PointLoad("M", place, point_kn=0.9, direction="down"),))
        for place in places
    )
    tried = check(replace(design, actions=one_by_one), library, as_of=TODAY, options=ALL)
    for rule, part in (("bending", ""), ("shear", ""), ("lateral-torsion", ""), ("deflection", "span-final")):
        both = [pick(report, f"eurocode-timber/{rule}", "M", part)["utilisation"] for report in (moving, tried)]
        assert both[0] == pytest.approx(both[1], rel=1e-9), rule


def test_an_unknown_category_still_asks(floor, library):
    report = run(floor, library, free=True, category=None)
    assert pick(report, "eurocode-timber/bending", "M")["kind"] == "open"
    assert report["verdict"] == "open"
