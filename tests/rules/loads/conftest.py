"""Roofs and floors by shape and loading, and what is derived for them, without analysing anything."""

from __future__ import annotations

import copy
import datetime
from collections.abc import Callable, Mapping
from typing import Any

import pytest

from rules.judge.deriving import derive
from rules.library import Derived, Library, choose
from rules.subject.actions import Action, LineLoad
from rules.subject.design import Design
from service.schemas import to_design

DAY = datetime.date(2026, 11, 25)
PIECE = {"section": {"b_mm": 47, "h_mm": 97}, "grade": "C24"}
COUPLE: dict[str, Any] = {
    "format": "birdsmouth-design-1", "reference": "R1", "component_type": "trussed-rafter", "spacing_mm": 1000,
    "site": {"country": "GB", "altitude_m": 100, "snow_zone": 3, "wind_speed_m_per_s": 22, "terrain": "III", "service_class": 2},
    "roof": {"ridge_height_m": 8.2, "building_length_m": 10.8, "building_width_m": 8.4, "openings": "none", "stands": "inner"},
    "shape": {"form": "couple", "span_over_plates_mm": 8400, "pitch_deg": 35, "overhang_mm": 0, "plate_width_mm": 100,
              "pieces": {"rafter": PIECE, "ceiling-tie": PIECE}},
    "loading": {"layers": [{"what": "tiles", "on": "roof", "kn_per_m2": 0.785, "measured": "slope"}]},
}  # fmt: skip
JOIST: dict[str, Any] = {
    "format": "birdsmouth-design-1", "reference": "J1", "component_type": "solid-joist", "spacing_mm": 400,
    "site": {"country": "GB", "altitude_m": 100, "service_class": 1},
    "shape": {"form": "solid-joist", "clear_span_mm": 4000, "bearing_mm": 100, "pieces": {"joist": PIECE}},
    "loading": {"layers": [{"what": "deck", "on": "floor", "kn_per_m2": 0.2, "measured": "plan"}], "floor_use": {"category": "A1"}},
}  # fmt: skip


def _changed(document: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """The document with the members of its parts changed; a part that is None is left out."""
    whole = copy.deepcopy(dict(document))
    for part, change in changes.items():
        if isinstance(change, dict) and isinstance(whole.get(part), dict):
            merged = {**whole[part], **change}
            whole[part] = {name: value for name, value in merged.items() if value is not None}
        elif change is None:
            whole.pop(part, None)
        else:
            whole[part] = change
    return whole


@pytest.fixture
def roof() -> Callable[..., dict[str, Any]]:
    """A couple of 8.4 m, components a metre apart so that kN/m and kN/m² are one, near no gable; parts and their members may be changed."""
    return lambda **changes: _changed(COUPLE, changes)


@pytest.fixture
def floor() -> Callable[..., dict[str, Any]]:
    """A joist of 4 m clear at 400 mm."""
    return lambda **changes: _changed(JOIST, changes)


@pytest.fixture
def worked_out(library: Library) -> Callable[[dict[str, Any]], tuple[Design, Derived]]:
    """The design with its derived load cases, and how they came about."""

    def run(document: dict[str, Any]) -> tuple[Design, Derived]:
        design = to_design(document)
        codes = design.codes
        selection = choose(library, design.site, design.component_type, DAY, codes.packs, codes.parameters)
        return derive(design, selection)

    return run


@pytest.fixture
def cases(worked_out: Callable[[dict[str, Any]], tuple[Design, Derived]]) -> Callable[[dict[str, Any]], dict[str, Action]]:
    """The derived load cases that act, by id."""

    def run(document: dict[str, Any]) -> dict[str, Action]:
        _, derived = worked_out(document)
        return {each.action.id: each.action for each in derived.derivations if not each.replaced}

    return run


@pytest.fixture
def lines() -> Callable[[Action], dict[str, list[float]]]:
    """The signed line loads of a case by piece, in order: what presses is positive."""

    def run(action: Action) -> dict[str, list[float]]:
        found: dict[str, list[float]] = {}
        for load in action.loads:
            if isinstance(load, LineLoad):
                sign = -1.0 if load.direction in ("suction", "up") else 1.0
                found.setdefault(load.member, []).append(sign * load.line_kn_per_m)
        return found

    return run
