"""Slip of joints in movements (EN 1995-1-1 2.2.2, 2.3.2.2, 7.1; from memory): by virtual work on paper, stated whole or not at all.

Hand case, own: king post truss, half span a = 2 m, rise 1 m, 2 kN at the top. N in the rafters −√5 kN at sin θ = 1/√5, 2 kN in the tie,
nothing in the post. A unit load at the top gives half of each. Slip of K = 8 kN/mm at both ends of both rafters and of both halves of the tie:
Σ N n / K = (4 · √5 · √5/2 + 4 · 2 · 1)/8 = (10 + 8)/8 = 2.25 mm down at the top.
"""

from __future__ import annotations

import pytest

PACK = "eurocode-timber/"
K = 8.0
CREEP = 0.8
"""k_def of solid timber in service class 2."""


def jointed(truss, **slips):
    """A joint left to others at each node, with its slip."""
    joints = [{"id": f"J{node}", "node": node, "none_because": "made on site, drawing S-3"} for node in "ABCD"]
    joints = [each | ({"slip_kn_per_mm": slips[each["node"]]} if slips.get(each["node"]) else {}) for each in joints]
    return truss | {"joints": joints}


def everywhere(truss, k=K):
    return jointed(truss, **dict.fromkeys("ABCD", k))


def final(report, found, member="R1", part="span-final"):
    finding = found(report, PACK + "deflection", member, part)
    return finding["demand"]["value"] if finding["kind"] != "open" else None


@pytest.fixture
def truss(king_post):
    """Its tie in two pieces, so that statics alone tells the forces."""
    whole = king_post(q=None)
    tie = next(each for each in whole["members"] if each["id"] == "T")
    members = [each for each in whole["members"] if each["id"] != "T"]
    members += [tie | {"nodes": ["A", "D"]}, tie | {"id": "U", "nodes": ["D", "B"]}]
    seats = [each | {"seat": each["seat"] | {"member": piece}} for each, piece in zip(whole["supports"], "TU", strict=True)]
    return whole | {"members": members, "supports": seats}


def test_slip_adds_by_virtual_work_and_grows_with_twice_k_def(truss, checked, found):
    """Loaded for good: what slips is 2.25 mm at once and 2.25 (1 + 2 k_def) in the end, at the top, where the rafters are lowest."""
    added = final(checked(everywhere(truss)), found) - final(checked(truss), found)
    assert added == pytest.approx(2.25 * (1.0 + 2.0 * CREEP), rel=1e-6)
    at_once = [found(checked(each), PACK + "deflection", "R1", "span-instant")["demand"]["value"] for each in (truss, everywhere(truss))]
    assert at_once[1] - at_once[0] == pytest.approx(2.25, rel=1e-6)


@pytest.mark.parametrize("k", [1.0, 4.0, 16.0])
def test_half_as_stiff_slips_twice_as_much(truss, checked, found, k):
    plain = final(checked(truss), found)
    soft, stiff = (final(checked(everywhere(truss, each)), found) - plain for each in (k / 2.0, k))
    assert soft == pytest.approx(2.0 * stiff, rel=1e-6)


def test_with_none_stated_the_report_says_that_it_is_not_in(truss, checked):
    (said,) = (each for each in checked(truss)["assumptions"] if each["pointer"] == "/joints" and each["value"] == 0.0)
    assert "slip_kn_per_mm" in said["because"]
    assert said["confirm"] == "engineer"
    assert not [each for each in checked(everywhere(truss))["assumptions"] if "slip_kn_per_mm" in each["because"]]


def test_with_some_stated_and_not_all_movements_are_open_and_the_nodes_are_named(truss, checked, found):
    finding = found(checked(jointed(truss, A=K, B=K, C=K)), PACK + "deflection", "R1", "span-final")
    assert finding["kind"] == "open"
    assert "node D" in finding["message"]
    assert "node A" not in finding["message"]


def test_a_splice_slips_where_it_lies(truss, checked, found):
    """Half-way along the first bay of the tie, 2 kN: a unit load at the top pulls the tie by 1: 2 · 1/4 = 0.5 mm more at the top, times 2.6."""
    steel = {"id": "P", "thickness_mm": 1.0, "declared_per": "plate", "invented": True}
    splice = {"id": "SP", "member": "T", "at_mm": 900, "plate_type": "P", "length_mm": 200, "width_mm": 90, "placing_tolerance_mm": 5}
    whole = everywhere(truss)
    spliced = whole | {"plate_types": [steel], "splices": [splice | {"slip_kn_per_mm": 4.0}]}
    more = final(checked(spliced), found) - final(checked(whole), found)
    assert more == pytest.approx(0.5 * (1.0 + 2.0 * CREEP), rel=1e-6)
    by_type = whole | {"plate_types": [steel | {"slip_kn_per_mm": 4.0}], "splices": [splice]}
    assert final(checked(by_type), found) == pytest.approx(final(checked(spliced), found), rel=1e-12)
    assert final(checked(whole | {"plate_types": [steel], "splices": [splice]}), found) is None


def test_strength_does_not_feel_it(truss, checked, found):
    for rule, member in (("compression", "R1"), ("tension", "T")):
        used = [found(checked(each), PACK + rule, member)["utilisation"] for each in (truss, everywhere(truss))]
        assert used[0] == used[1]


def roving(truss, free):
    loads = [{"member": "T", "line_kn_per_m": 1.5, "along": "plan", "direction": "down"}] if free else [{"member": "T", "point_kn": 0.9, "anywhere": True, "direction": "down"}]  # fmt: skip
    action = {"id": "q", "nature": "imposed", "category": "A", "duration": "medium", "free": free, "loads": loads}
    return truss | {"roof": {"ceiling": "brittle"}, "actions": [*truss["actions"], action]}


@pytest.mark.parametrize(("free", "at_d"), [(True, 1.5), (False, 0.9)], ids=["a floor load span by span", "a person anywhere"])
def test_loads_without_a_place_slip_too_and_their_lasting_part_creeps(truss, checked, found, free, at_d):
    """At D, the lower end of the post and the far end of U: 2.25 mm of the lasting load, and P at D makes
    Σ N n / K = P (4 · √5/2 · √5/2 + 4 · 1 + 2 · 1)/8 = 1.375 P; ψ2 = 0.3 of that lasts, so 1.375 P (1 + 0.3 · 2 k_def) in the end."""
    design = roving(truss, free)
    added = final(checked(everywhere(design)), found, "U") - final(checked(design), found, "U")
    assert added == pytest.approx(2.25 * (1.0 + 2.0 * CREEP) + 1.375 * at_d * (1.0 + 0.3 * 2.0 * CREEP), rel=1e-6)


def test_bearings_that_let_go_are_asked_for(truss, checked, found):
    first, second = truss["supports"]
    design = everywhere(truss) | {"supports": [first, second | {"uplift": "free"}]}
    finding = found(checked(design), PACK + "deflection", "R1", "span-final")
    assert finding["kind"] == "open"
    assert "uplift" in finding["message"]
