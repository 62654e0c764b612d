"""Vibration of floors from a whole document: what is worked out from it, and when nothing may be concluded.

Joist of all cases unless said: 47 × 220 C24 at 400 mm, span 4 m, 0.4 kN/m² with nothing for its own weight, deck 22 mm of 2700 N/mm².
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

RULE = "eurocode-timber/floor-vibration"
EI = 11_000.0 * 47.0 * 220.0**3 / 12.0
MASS = 0.16 / 9.81 / 400.0 * 1e6
F_1 = math.pi / (2 * 4.0**2) * math.sqrt(EI / 400.0 / 1000.0 / MASS)
Document = dict[str, Any]


@pytest.fixture
def joist(bar) -> Callable[..., Document]:
    def make(length: float = 4000.0, floor: Document | None = None, **more: Any) -> Document:
        deck = {"thickness_mm": 22, "e_mpa": 2700}
        dead = {
            "id": "dead",
            "nature": "permanent",
            "loads": [{"member": "M", "line_kn_per_m": 0.16, "along": "member", "direction": "down"}],
        }
        live = {"id": "live", "nature": "imposed", "category": "A", "loads": [dead["loads"][0] | {"line_kn_per_m": 0.6}]}
        plain = {
            "component_type": "solid-joist",
            "spacing_mm": 400,
            "floor": {"width_mm": 4000, "deck": deck, "ceiling": "none"} | (floor or {}),
            "actions": [dead, live],
        }
        return bar(length, {"b_mm": 47, "h_mm": 220}, member={"role": "joist"}, **(plain | more))

    return make


@pytest.fixture
def parts(checked, found) -> Callable[[Document], dict[str, Document]]:
    """The three findings on the vibration of a floor, by part."""

    def run(document: Document) -> dict[str, Document]:
        report = checked(document)
        return {part: found(report, RULE, part=part) for part in ("frequency", "point-load", "impulse")}

    return run


def test_a_floor_by_hand(joist, parts):
    """(EI)_b = 2700·22³/12 = 2395.8 N·m²/m; w = 1000·0.35827·4000³·1.05/(48·4.5874e11); a = 1.8; B/l = 1."""
    found = parts(joist())
    assert found["frequency"]["kind"] == "informational"
    assert found["frequency"]["demand"] == {"value": pytest.approx(F_1), "unit": "Hz"}
    sharing = 0.38 - 0.08 * math.log(14 * 2.3958e9 / 400.0**4)
    moved = 1000 * sharing * 4000.0**3 * 1.05 / (48 * EI)
    assert found["point-load"]["demand"]["value"] == pytest.approx(moved)
    assert found["point-load"]["limit"]["value"] == pytest.approx(min(1.8, 16500 / 4000**1.1))
    modes = (((40 / F_1) ** 2 - 1) * (EI / 400 / 1000) / 2395.8) ** 0.25
    assert found["impulse"]["demand"]["value"] == pytest.approx(4 * (0.4 + 0.6 * modes) / (MASS * 16 + 200))
    assert found["impulse"]["limit"]["value"] == pytest.approx((160 - 40 * moved) ** (F_1 * 0.02 - 1))


def test_own_weight_counts_over_the_whole_joist(joist, parts):
    """47 × 220 × 420 kg/m³ × 9.81 = 0.0426 kN/m more."""
    found = parts(joist(self_weight=True))
    heavier = MASS + 47 * 220 * 420e-9 / 400.0 * 1e6
    assert found["frequency"]["demand"]["value"] == pytest.approx(F_1 * math.sqrt(MASS / heavier))


def test_imposed_load_is_no_mass(joist, parts):
    document = joist()
    heavy = document["actions"][1]["loads"][0] | {"line_kn_per_m": 3.0}
    more = document | {"actions": [document["actions"][0], document["actions"][1] | {"loads": [heavy]}]}
    assert parts(more)["frequency"]["demand"] == parts(document)["frequency"]["demand"]


def test_a_wall_on_part_of_the_floor_slows_it_and_steadies_nothing(joist, parts):
    """0.32 kN at mid-span counts as 0.16 kN/m: half the frequency squared; the impulse keeps the mass that lies evenly."""
    document = joist(length=3000.0)
    before = parts(document)
    wall = {"id": "wall", "nature": "permanent", "loads": [{"member": "M", "point_kn": 0.24, "at_mm": 1500, "direction": "down"}]}
    after = parts(document | {"actions": [*document["actions"], wall]})
    assert after["frequency"]["demand"]["value"] == pytest.approx(before["frequency"]["demand"]["value"] / math.sqrt(2))
    assert after["impulse"]["demand"]["value"] > before["impulse"]["demand"]["value"]


def test_a_slow_floor_is_a_special_study_and_never_a_fail(joist, parts):
    found = parts(joist(length=6000.0))
    assert found["frequency"]["demand"]["value"] < 8.0
    assert found["frequency"]["kind"] == "open"
    assert "study" in found["frequency"]["message"]
    assert {found[part]["kind"] for part in ("point-load", "impulse")} == {"notApplicable"}


@pytest.mark.parametrize(
    ("floor", "more", "part", "question"),
    [
        ({"deck": "22 mm chipboard"}, {}, "point-load", "floor.deck"),
        ({"deck": "22 mm chipboard"}, {}, "impulse", "floor.deck"),
        ({"width_mm": None}, {}, "impulse", "floor.width_mm"),
        ({}, {"spacing_mm": None}, "frequency", "spacing_mm"),
    ],
)
def test_what_is_not_stated_is_asked_for(joist, parts, floor, more, part, question):
    found = parts(joist(floor=floor, **more))
    assert found[part]["kind"] == "open"
    assert question in found[part]["message"]


def test_a_stated_stiffness_across_stands_in_place_of_the_decks(joist, parts):
    softer = parts(joist(floor={"transverse_stiffness_nm2_per_m": 500.0}))
    assert softer["point-load"]["demand"]["value"] > parts(joist())["point-load"]["demand"]["value"]
    same = parts(joist(floor={"deck": None, "transverse_stiffness_nm2_per_m": 2395.8}))
    assert same["point-load"]["demand"]["value"] == pytest.approx(parts(joist())["point-load"]["demand"]["value"])


def _strutted(depth: float) -> list[Document]:
    return [{"id": "N", "kind": "noggin", "members": ["M"], "rows": 1, "section": {"b_mm": 47, "h_mm": depth}}]


@pytest.mark.parametrize(
    ("floor", "bracing", "factor"),
    [({"strutting_rows": 1}, None, 0.97), ({"noggin_rows": 1}, None, 1.0), ({}, _strutted(165.0), 0.97), ({}, _strutted(164.0), 1.0)],
)
def test_strutting_counts_where_it_is_known_to_be_deep_enough(joist, parts, floor, bracing, factor):
    plain = parts(joist())["point-load"]["demand"]["value"]
    found = parts(joist(floor=floor, bracing=bracing))
    assert found["point-load"]["demand"]["value"] == pytest.approx(factor * plain)


def test_a_spring_below_and_an_overhang_are_beyond_the_rule(joist, parts):
    document = joist()
    first, last = document["supports"]
    sprung = document | {"supports": [first, last | {"holds": [], "springs": {"y_kn_per_mm": 4}}]}
    assert parts(sprung)["frequency"]["kind"] == "open"
    member = document["members"][0] | {"nodes": ["A", "B", "C"]}
    for overhang, kind in ((49.0, "informational"), (300.0, "open")):
        nodes = [*document["nodes"], {"id": "C", "x_mm": 4000 + overhang, "y_mm": 0}]
        assert parts(document | {"nodes": nodes, "members": [member]})["frequency"]["kind"] == kind


def test_an_office_is_beyond_the_rule(joist, parts):
    document = joist()
    office = [document["actions"][0], document["actions"][1] | {"category": "B"}]
    assert parts(document | {"actions": office})["frequency"]["kind"] == "open"


def test_a_continuous_joist_is_shorter_in_effect_and_springier(joist, parts):
    """Two spans of 4 m: l_eq 3.6 m, k_amp 1.10; the limit stays that of 4 m."""
    document = joist()
    nodes = [*document["nodes"], {"id": "C", "x_mm": 8000, "y_mm": 0}]
    member = document["members"][0] | {"nodes": ["A", "B", "C"]}
    supports = [*document["supports"], document["supports"][1] | {"id": "S3", "node": "C"}]
    found = parts(document | {"nodes": nodes, "members": [member], "supports": supports})
    plain = parts(document)["point-load"]
    assert found["point-load"]["demand"]["value"] == pytest.approx(plain["demand"]["value"] * 0.9**3 * 1.10 / 1.05)
    assert found["point-load"]["limit"] == plain["limit"]
    assert found["frequency"]["demand"]["value"] == pytest.approx(F_1)


def test_elsewhere_the_sharing_of_a_force_is_left_to_an_engineer(joist, parts):
    document = joist()
    found = parts(document | {"site": document["site"] | {"country": "FI", "subdivision": None, "district": None}})
    assert found["point-load"]["kind"] == "open"
    assert found["impulse"]["kind"] in ("pass", "fail")
    assert found["impulse"]["limit"]["value"] == pytest.approx(150 ** (F_1 * 0.01 - 1))


def test_no_floor_is_asked_nothing(joist, parts):
    found = parts(joist(floor={"deck": None, "width_mm": None}, component_type="other", spacing_mm=None))
    assert {each["kind"] for each in found.values()} == {"notApplicable"}


CHORD = {"section": {"b_mm": 97, "h_mm": 47}, "grade": "C24"}


def _open_web(joist, missing: str = "") -> Document:
    """Two level chords 207 mm apart on four panels of 1 m, zigzag webs; all timber."""
    bottom, top = [f"B{i}" for i in range(5)], [f"T{i}" for i in range(4)]
    places = {name: (1000 * i, 0) for i, name in enumerate(bottom)} | {name: (500 + 1000 * i, 207) for i, name in enumerate(top)}
    ends = [pair for i in range(4) for pair in ((bottom[i], top[i]), (top[i], bottom[i + 1]))]
    webs = [CHORD | {"id": "".join(pair), "role": "web", "nodes": list(pair)} for pair in ends if "".join(pair) != missing]
    chords = [CHORD | {"id": "BOT", "role": "bottom-chord", "nodes": bottom}, CHORD | {"id": "TOP", "role": "top-chord", "nodes": top}]
    load = {"member": "BOT", "line_kn_per_m": 0.16, "along": "member", "direction": "down"}
    supports = [{"id": "S1", "node": "B0", "holds": ["x", "y"]}, {"id": "S2", "node": "B4", "holds": ["y"]}]
    return joist() | {
        "component_type": "open-web-joist",
        "nodes": [{"id": name, "x_mm": x, "y_mm": y} for name, (x, y) in places.items()],
        "members": [*chords, *webs],
        "supports": supports,
        "actions": [{"id": "dead", "nature": "permanent", "loads": [load]}],
    }


def test_an_open_web_joist_counts_its_chords_and_the_softness_of_its_webs(joist, parts):
    """EI = 11000·(4559·207²/2 + 2·97·47³/12) = 1.0929e12; 1.30 in the movement, and the same 1.30 off the stiffness that sets f_1."""
    stiff = 11_000.0 * (4559.0 * 207.0**2 / 2.0 + 2.0 * 97.0 * 47.0**3 / 12.0)
    found = parts(_open_web(joist) | {"floor": joist()["floor"] | {"strutting_rows": 2}})
    assert found["frequency"]["demand"]["value"] == pytest.approx(F_1 * math.sqrt(stiff / 1.30 / EI))
    plain = parts(joist())["point-load"]["demand"]["value"]
    assert found["point-load"]["demand"]["value"] == pytest.approx(plain * 1.30 / 1.05 * EI / stiff), "no strutting factor"


def test_an_opening_for_services_is_beyond_the_rule(joist, parts):
    document = _open_web(joist, missing="T1B2")
    stiff = [member | {"ends": {"start": "pinned", "end": "pinned"}} for member in document["members"]]
    assert parts(document | {"members": stiff})["frequency"]["kind"] == "open"


@pytest.mark.parametrize("kind", ["other", "trussed-rafter"])
def test_a_floor_in_another_component_is_open(joist, checked, found, kind):
    """The floor of an attic truss: nothing here works out its vibration, and that must not look like a pass."""
    told = found(checked(joist() | {"component_type": kind}), "engine/floor-in-another-component")
    assert told["kind"] == "open"
    assert "vibration" in told["message"]


def test_the_floor_of_a_joist_is_a_floor(joist, checked):
    assert "engine/floor-in-another-component" not in {finding["rule"] for finding in checked(joist())["findings"]}


@pytest.mark.parametrize(
    ("horn", "kind", "limit"), [(50, "informational", 4000 / 250), (219, "informational", 4000 / 250), (221, "open", 221 / 125)]
)
def test_a_horn_shorter_than_the_joist_is_deep_is_no_cantilever(horn, kind, limit, joist, parts, checked, found):
    """It turns with the joist at its bearing, further than a cantilever may sag as soon as the joist sags by L/400: 3.2 w/L > 1/125."""
    document = joist(floor={"ceiling": "brittle"})
    nodes = [*document["nodes"], {"id": "C", "x_mm": 4000 + horn, "y_mm": 0}]
    document |= {"nodes": nodes, "members": [document["members"][0] | {"nodes": ["A", "B", "C"]}]}
    assert parts(document)["frequency"]["kind"] == kind
    assert found(checked(document), "eurocode-timber/deflection", part="span-final")["limit"]["value"] == pytest.approx(limit)
