"""What holds for plated trusses alone: the reserve of pieces loaded at their nodes, and the force of handling."""

from __future__ import annotations

import pytest

LOADS = [{"member": name, "line_kn_per_m": 1.0, "along": "plan", "direction": "down"} for name in ("R1", "R2")]


@pytest.fixture
def truss(couple):
    """8 m across; nothing acts on the tie but what its nodes bring."""
    return couple(8000, 2800, component_type="trussed-rafter", actions=[{"id": "dead", "nature": "permanent", "loads": LOADS}])


def test_handling_is_told_for_trusses_alone(truss, checked, found):
    """1.0 + 0.1 · 8 = 1.8 kN."""
    told = found(checked(truss), "eurocode-timber/handling-force")
    assert (told["kind"], told["demand"]) == ("informational", {"value": pytest.approx(1.8), "unit": "kN"})
    assert found(checked(truss | {"component_type": "cut-roof"}), "eurocode-timber/handling-force")["kind"] == "notApplicable"


def test_the_reserve_is_for_pressed_pieces_without_loads_of_their_own(truss, checked, found):
    """Uplift presses the tie: (N/A/f_c,0,d)² against 0.9; the rafters carry load between their nodes."""
    lifting = [load | {"line_kn_per_m": 2.0, "direction": "up"} for load in LOADS]
    report = checked(truss | {"actions": [*truss["actions"], {"id": "wind", "nature": "wind", "loads": lifting}]})
    tie = found(report, "eurocode-timber/truss-reserve", "T")
    assert tie["kind"] == "pass"
    push = (1.5 * 2.0 - 1.0) * 8.0**2 / (8.0 * 2.8) * 1000.0
    assert tie["demand"]["value"] == pytest.approx((push / (47 * 147) / (1.1 * 21 / 1.3)) ** 2)
    assert tie["limit"]["value"] == 0.9
    assert found(report, "eurocode-timber/truss-reserve", "R1")["kind"] == "notApplicable"


def test_the_relief_for_a_person_is_none_beside_a_tank(king_post, checked, chosen, found):
    """9.2.2(3) speaks of one small force: under two of 2 kN pull and bending count together, whoever stands there besides."""

    def used(relief: float, *more: dict) -> float:
        truss = king_post(q=0.1)
        truss["actions"][0]["loads"].append({"node": "C", "y_kn": -5.0})
        man = [{"member": "T", "point_kn": 0.9, "at_mm": 1000, "direction": "down"}]
        truss["actions"] += [{"id": "man", "nature": "imposed", "category": "ceiling-person", "loads": man}, *more]
        report = checked(chosen(truss, "general", small_load_relief=relief))
        return found(report, "eurocode-timber/bending-with-tension", "T")["utilisation"]

    tank = {
        "id": "tank",
        "nature": "imposed",
        "category": "tank",
        "loads": [{"member": "T", "point_kn": 2.0, "at_mm": at, "direction": "down"} for at in (900, 1100)],
    }
    assert used(1.0) < used(0.0)
    assert used(1.0, tank) == used(0.0, tank)
