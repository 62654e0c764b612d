"""Laws of the whole check: more load, more span or less timber never makes a number better."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

FEW = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
RULES = ("bending", "shear", "lateral-torsion")
DOWN = {"along": "member", "direction": "down"}


def joist(bar, *, load=0.5, span=3000.0, depth=195.0, breadth=47.0, restraint=600.0):
    actions = [
        {"id": "g", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": load / 2, **DOWN}]},
        {"id": "q", "nature": "imposed", "category": "A", "loads": [{"member": "M", "line_kn_per_m": load, **DOWN}]},
    ]
    held = {"out_of_plane_mm": restraint, "top_edge_mm": restraint, "bottom_edge_mm": restraint}
    return bar(span, {"b_mm": breadth, "h_mm": depth}, restraint=held, actions=actions, roof={"ceiling": "none"})


def ratios(report) -> dict[str, float]:
    found = {
        f["rule"]: f["utilisation"]
        for f in report["findings"]
        if f["rule"].startswith("eurocode-timber/") and f["part"] in ("", "span-final")
    }
    return {rule: found[f"eurocode-timber/{rule}"] for rule in (*RULES, "deflection")}


@FEW
@given(load=st.floats(0.1, 5.0), factor=st.floats(1.01, 4.0))
def test_utilisations_grow_with_the_load(bar, checked, load, factor):
    light, heavy = ratios(checked(joist(bar, load=load))), ratios(checked(joist(bar, load=load * factor)))
    assert all(heavy[rule] == pytest.approx(light[rule] * factor, rel=1e-9) for rule in light), "all of these are linear in the load"


@FEW
@given(span=st.floats(1500, 6000), factor=st.floats(1.01, 1.5))
def test_utilisations_grow_with_the_span(bar, checked, span, factor):
    short, long = ratios(checked(joist(bar, span=span))), ratios(checked(joist(bar, span=span * factor)))
    assert all(long[rule] > short[rule] for rule in short)


@FEW
@given(depth=st.floats(75, 250), factor=st.floats(1.02, 1.5))
def test_a_deeper_joist_is_never_worse_in_bending_shear_or_deflection(bar, checked, depth, factor):
    """The size factor falls more slowly with depth than the modulus grows, so the gain is never lost."""
    shallow, deep = ratios(checked(joist(bar, depth=depth))), ratios(checked(joist(bar, depth=depth * factor)))
    assert all(deep[rule] < shallow[rule] for rule in ("bending", "shear", "deflection"))


@FEW
@given(restraint=st.floats(300, 3000), factor=st.floats(1.01, 3.0))
def test_restraint_further_apart_is_never_better(bar, checked, restraint, factor):
    near, far = ratios(checked(joist(bar, restraint=restraint))), ratios(checked(joist(bar, restraint=min(restraint * factor, 3000.0))))
    assert far["lateral-torsion"] >= near["lateral-torsion"] * (1.0 - 1e-12)
    assert far["bending"] == near["bending"]
