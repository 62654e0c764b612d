"""A peak between stations is not missed: a joist under a triangular load, whose greatest moment lies at L/√3."""

from __future__ import annotations

import math

import pytest

BENDING = "eurocode-timber/bending"
LENGTH, SECTION = 4000.0, {"b_mm": 47, "h_mm": 195}


@pytest.fixture
def triangular(bar):
    """Bending utilisation of the true peak, q L²/(9 √3), as asked for: k_mod 0.6, f_m 24, γ_M 1.3, no size factor at 195 mm."""

    def make(utilisation: float):
        strength = 0.6 * 24 / 1.3 * (47 * 195**2 / 6)
        load = utilisation * strength / 1.35 / (LENGTH**2 / (9 * math.sqrt(3)))
        loads = [{"member": "M", "line_kn_per_m": 0, "line_end_kn_per_m": load, "along": "member", "direction": "down"}]
        held = {"out_of_plane_mm": 300, "top_edge_mm": 300, "bottom_edge_mm": 300}
        return bar(LENGTH, SECTION, restraint=held, actions=[{"id": "g", "nature": "permanent", "loads": loads}], roof={"ceiling": "none"})

    return make


def test_a_narrow_fail_between_stations_is_found(triangular, checked, found):
    """At 0.6 L the moment is 0.23 % below the peak: seen from the stations alone this joist would pass."""
    bending = found(checked(triangular(1.0015)), BENDING, "M")
    assert bending["kind"] == "fail"
    assert bending["utilisation"] == pytest.approx(1.0015, rel=1e-4)
    assert bending["where"]["at_mm"] == pytest.approx(LENGTH / math.sqrt(3), abs=LENGTH / 80)
    steps = {step["symbol"]: step["value"] for step in bending["working"]}
    assert steps["σ_m,y,d"] / steps["f_m,y,d"] == pytest.approx(bending["utilisation"])


def test_a_narrow_pass_stays_one(triangular, checked, found):
    bending = found(checked(triangular(0.9985)), BENDING, "M")
    assert bending["kind"] == "pass"
    assert bending["utilisation"] == pytest.approx(0.9985, rel=1e-4)


def test_far_from_the_limit_stations_do(triangular, checked, found):
    bending = found(checked(triangular(0.5)), BENDING, "M")
    assert bending["utilisation"] == pytest.approx(0.5 * (0.6 - 0.6**3) / 6 * 9 * math.sqrt(3), rel=1e-9)
