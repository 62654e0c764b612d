"""Leaving out combinations that can govern nothing leaves every governing utilisation as it was, on frames nobody chose."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rules.judge import Options, check
from rules.library import Library, load_library
from rules.packs.eurocode_basis.combine import combine_all
from service.demo import read_design
from service.schemas import load, to_design

DAY = datetime.date(2026, 11, 25)
EVERYTHING = Options(include="all", working="none", response="none")


@pytest.fixture(scope="module")
def libraries() -> tuple[Library, Library]:
    """The packs as they are, and with every combination kept."""
    library = load_library()
    unpruned = tuple(replace(pack, combine=combine_all) if pack.id == "eurocode-basis" else pack for pack in library.packs)
    return library, replace(library, packs=unpruned)


def utilisations(design: Any, library: Library) -> dict[str, float | None]:
    """By finding: kind and utilisation, whatever combination it was found in."""
    report = check(design, library, as_of=DAY, options=EVERYTHING)
    return {finding["id"]: (finding["kind"], finding["utilisation"]) for finding in report["findings"]}


def same(design: Any, libraries: tuple[Library, Library]) -> None:
    here, there = (utilisations(design, library) for library in libraries)
    assert here.keys() == there.keys()
    for name, (kind, used) in here.items():
        assert kind == there[name][0]
        assert used == (there[name][1] if used is None else pytest.approx(there[name][1], rel=1e-9, abs=1e-12)), name


MEMBERS = st.sampled_from(["TC1", "TC2", "BC"])
LOADS = st.builds(
    lambda member, size, direction: {"member": member, "line_kn_per_m": size, "along": "plan", "direction": direction},
    MEMBERS,
    st.floats(0.01, 2.0),
    st.sampled_from(["down", "up"]),
)
KINDS = {"permanent": None, "imposed": "A", "roof-imposed": "H", "snow": None, "wind": None, "accidental": None}
ACTIONS = st.lists(st.tuples(st.sampled_from(sorted(KINDS)), LOADS, st.sampled_from([1.0, 0.8]), st.booleans()), min_size=1, max_size=5)


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture])
@given(
    form=st.sampled_from([("fink", {"web": 72}), ("king-post", {"post": 72, "web": 72}), ("couple", {})]),
    pitch=st.floats(12.0, 50.0), span=st.floats(3000.0, 9000.0), actions=ACTIONS,
)  # fmt: skip
def test_on_random_trusses(form: Any, pitch: float, span: float, actions: Any, libraries: tuple[Library, Library]) -> None:
    name, depths = form
    pieces = {
        role: {"section": {"b_mm": 47, "h_mm": h}, "grade": "C24"} for role, h in {"rafter": 145, "ceiling-tie": 120, **depths}.items()
    }
    document = {
        "format": "birdsmouth-design-1", "reference": "R", "component_type": "cut-roof",
        "site": {"country": "GB", "altitude_m": 90, "service_class": 2}, "materials": {"marking": "piece"},
        "shape": {"form": name, "span_over_plates_mm": span, "pitch_deg": pitch, "plate_width_mm": 100, "pieces": pieces},
        "actions": [
            {"id": f"{nature}-{i}", "nature": nature, "category": KINDS[nature], "loads": [load_],
             **({"least_share": share} if nature == "permanent" else {}), **({"one_of": "one"} if grouped and nature != "permanent" else {})}
            for i, (nature, load_, share, grouped) in enumerate(actions)],
    }  # fmt: skip
    same(to_design(document), libraries)


@pytest.mark.parametrize("name", ["solid-joist", "two-reasons"])
def test_on_the_demo_designs(name: str, libraries: tuple[Library, Library]) -> None:
    same(load(read_design(name)), libraries)
