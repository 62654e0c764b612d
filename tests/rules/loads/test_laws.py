"""Laws of derived loads on roofs nobody chose: what lies on a roof adds up, mirrors, grows with its width, and never fails to be told."""

from __future__ import annotations

import datetime
import math
from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rules.judge.deriving import derive
from rules.library import Library, choose, load_library
from rules.subject.actions import Action, LineLoad, PointLoad
from rules.subject.design import Design
from service.schemas import to_design

DAY = datetime.date(2026, 11, 25)
QUICK = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture])
PIECE = {"section": {"b_mm": 47, "h_mm": 97}, "grade": "C24"}
SIDES = st.sampled_from(["left", "right"])
NEIGHBOURS = st.lists(
    st.one_of(
        st.fixed_dictionaries({"side": SIDES, "what": st.just("taller-building"), "rise_m": st.floats(0.2, 9.0), "width_m": st.floats(1.0, 30.0),
                               "pitch_deg": st.floats(0.0, 60.0)}),
        st.fixed_dictionaries({"side": SIDES, "what": st.just("roof"), "pitch_deg": st.floats(5.0, 60.0)}),
    ),
    max_size=2, unique_by=lambda each: each["side"],
)  # fmt: skip
PARAPETS = st.lists(
    st.fixed_dictionaries({"side": SIDES, "height_m": st.floats(0.1, 3.0)}), max_size=2, unique_by=lambda each: each["side"]
)
GROUND = st.one_of(
    st.fixed_dictionaries({"country": st.just("GB"), "snow_zone": st.integers(1, 5), "altitude_m": st.floats(0, 900)}),
    st.fixed_dictionaries({"country": st.just("DE"), "snow_ground_kn_per_m2": st.floats(0.3, 6.0), "altitude_m": st.floats(0, 1400),
                           "snow_ground_edition": st.just("annex")}),
)  # fmt: skip


@st.composite
def roofs(draw: st.DrawFn, forms: tuple[str, ...] = ("couple", "raised-tie", "mono")) -> dict[str, Any]:
    """A roof document of any pitch, size, place and company."""
    form = draw(st.sampled_from(forms))
    roles = ("rafter", "ceiling-tie", *(("post", "web") if form == "mono" else ()))
    shape = {"form": form, "span_over_plates_mm": draw(st.floats(3000, 12_000)), "pitch_deg": draw(st.floats(5.0 if form == "raised-tie" else 3.0, 70.0)),
             "overhang_mm": draw(st.floats(0, 900)), "plate_width_mm": 100, "pieces": dict.fromkeys(roles, PIECE)}  # fmt: skip
    if form == "raised-tie":
        shape["tie_height_mm"] = 100
    roof = {"ridge_height_m": draw(st.floats(3, 14.9)), "building_length_m": draw(st.floats(4, 40)), "building_width_m": draw(st.floats(4, 14)),
            "stands": draw(st.sampled_from(["inner", "end"])), "neighbours": draw(NEIGHBOURS), "parapets": draw(PARAPETS)}  # fmt: skip
    site = draw(GROUND) | {"wind_speed_m_per_s": draw(st.floats(18, 32)), "terrain": draw(st.sampled_from(["I", "II", "III", "IV"]))}
    return {"format": "birdsmouth-design-1", "reference": "R", "component_type": "cut-roof", "spacing_mm": draw(st.floats(300, 1200)),
            "site": site, "roof": roof, "shape": shape, "loading": {"loft": "storage"}}  # fmt: skip


@cache
def packs() -> Library:
    """The packs, read once; no fixture, because what fails would be printed with them."""
    return load_library()


def derived(document: dict[str, Any]) -> tuple[Design, dict[str, Action]]:
    design = to_design(document)
    selection = choose(packs(), design.site, design.component_type, DAY, None)
    found = derive(design, selection)[1]
    return design, {each.action.id: each.action for each in found.derivations}


def lines_of(design: Design) -> dict[str, tuple[tuple[float, float], tuple[float, float]]]:
    at = {node.id: (node.x_mm, node.y_mm) for node in design.nodes}
    return {member.id: (at[member.nodes[0]], at[member.nodes[-1]]) for member in design.members}


def weight(action: Action, design: Design) -> float:
    """All that presses down, kN: the mean of both ends, times length on plan."""
    total = 0.0
    for load in action.loads:
        if isinstance(load, PointLoad):
            total += load.point_kn or 0.0
        elif isinstance(load, LineLoad):
            (x1, y1), (x2, y2) = lines_of(design)[load.member]
            whole = math.hypot(x2 - x1, y2 - y1)
            share = ((load.to_mm or whole) - (load.from_mm or 0.0)) / whole
            end = load.line_kn_per_m if load.line_end_kn_per_m is None else load.line_end_kn_per_m
            total += (load.line_kn_per_m + end) / 2.0 * abs(x2 - x1) / 1000.0 * share
    return total


@QUICK
@given(document=roofs())
def test_every_roof_has_its_cases_and_no_load_is_no_number(document: dict[str, Any]) -> None:
    design, found = derived(document)
    assert {action.nature for action in found.values()} >= {"roof-imposed", "wind", "imposed", "snow"}
    for action in found.values():
        for load in action.loads:
            sizes = [load.line_kn_per_m, load.line_end_kn_per_m or 0.0] if isinstance(load, LineLoad) else [load.point_kn]
            assert all(size >= 0.0 and math.isfinite(size) for size in sizes), action.id
            assert load.member in {member.id for member in design.members}


@QUICK
@given(document=roofs(forms=("couple", "raised-tie")))
def test_even_snow_is_what_lies_on_the_plan_of_the_roof(document: dict[str, Any]) -> None:
    """s·width·b on both slopes together, one pitch; with a parapet the side it keeps snow on has its own factor."""
    document["roof"]["parapets"] = []
    document["site"]["altitude_m"] = min(document["site"]["altitude_m"], 800.0)
    design, found = derived(document)
    pitch = document["shape"]["pitch_deg"]
    mu = 0.8 * min(max((60.0 - pitch) / 30.0, 0.0), 1.0)
    if mu == 0.0:
        assert found["no-snow"].none_because
        return
    site = document["site"]
    zone = 0.15 + 0.1 * site.get("snow_zone", 0) + 0.05 + (site["altitude_m"] - 100.0) / 525.0
    ground = site.get("snow_ground_kn_per_m2", zone)
    if "snow-even" in found:
        across = max(node.x_mm for node in design.nodes) - min(node.x_mm for node in design.nodes)
        expected = mu * ground * document["spacing_mm"] / 1000.0 * across / 1000.0
        assert weight(found["snow-even"], design) == pytest.approx(expected, rel=2e-3)


@QUICK
@given(document=roofs(), factor=st.floats(1.1, 3.0))
def test_loads_per_metre_grow_with_the_width_that_loads_one(document: dict[str, Any], factor: float) -> None:
    _, narrow = derived(document)
    _, wide = derived({**document, "load_width_mm": document["spacing_mm"] * factor})
    for name, action in narrow.items():
        for load, wider in zip(action.loads, wide[name].loads, strict=True):
            if isinstance(load, LineLoad) and isinstance(wider, LineLoad):
                assert wider.line_kn_per_m == pytest.approx(factor * load.line_kn_per_m, rel=1e-7, abs=1e-11)


@QUICK
@given(document=roofs(forms=("couple",)))
def test_a_mirrored_site_gives_mirrored_loads(document: dict[str, Any]) -> None:
    design, here = derived(document)
    other = {"left": "right", "right": "left"}
    roof = document["roof"]
    turned = {part: [{**each, "side": other[each["side"]]} for each in roof[part]] for part in ("neighbours", "parapets")}
    _, there = derived({**document, "roof": {**roof, **turned}})
    for name, action in here.items():
        if "left" in name or "right" in name:
            swapped = name.replace("left", "\0").replace("right", "left").replace("\0", "right")
            assert weight(there[swapped], design) == pytest.approx(weight(action, design), rel=1e-4, abs=1e-5), name


@QUICK
@given(document=roofs(forms=("couple",)), rise=st.floats(0.2, 6.0))
def test_a_drift_that_is_an_accident_holds_its_snow(document: dict[str, Any], rise: float) -> None:
    """Own: a triangle of μ·s_k at the wall, nothing at l_s: half μ·s_k·l_s·b, since l_s never exceeds the roof's width."""
    document["site"] = {"country": "GB", "snow_zone": 3, "altitude_m": 100.0}
    document["roof"]["neighbours"] = [{"side": "left", "what": "taller-building", "rise_m": rise, "width_m": 5.0}]
    design, found = derived(document)
    across = (max(node.x_mm for node in design.nodes) - min(node.x_mm for node in design.nodes)) / 1000.0
    reach = min(5.0 * rise, across, 15.0)
    mu = min(2.0 * rise / 0.5, 2.0 * max(across, 5.0) / reach, 8.0)
    expected = 0.5 * mu * 0.5 * reach * document["spacing_mm"] / 1000.0
    assert weight(found["snow-wall-left"], design) == pytest.approx(expected, rel=2e-3)
