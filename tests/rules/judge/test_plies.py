"""Girders of several plies from whole documents: what hangs on one ply has to pass through nails, in every combination and wherever it stands."""

from __future__ import annotations

from typing import Any

import pytest

Document = dict[str, Any]
NAILS = {"diameter_mm": 3.35, "length_mm": 90, "spacing_mm": 150, "rows": 2, "f_u_mpa": 600, "form": "round"}
RULE = "eurocode-timber/ply-nailing"
HOLDS = 0.8 / 1.3 * 859.23898
"""N, one nail 3.35 × 90 in C24 of 47 mm, medium term: mode f of Johansen, as in the case file."""


@pytest.fixture
def girder(bar, checked, found):
    def run(*loads: Document, nails: Document | None = NAILS, plies: int = 2, nature: str = "imposed") -> Document:
        member = {"role": "joist", "plies": plies, "ply_nailing": nails}
        action = {"id": "hung", "nature": nature, "loads": list(loads)} | (
            {"category": "A", "duration": "medium"} if nature == "imposed" else {}
        )
        return found(checked(bar(4000, {"b_mm": 47, "h_mm": 220}, member=member, actions=[action])), RULE, "M")

    return run


def line(kn_per_m: float, **more: Any) -> Document:
    return {"member": "M", "line_kn_per_m": kn_per_m, "along": "member", "direction": "down"} | more


def force(kn: float, **more: Any) -> Document:
    return {"member": "M", "point_kn": kn, "direction": "down"} | more


@pytest.mark.parametrize(("plies", "share"), [(2, 0.5), (3, 2 / 3), (4, 0.75)])
def test_all_plies_but_one_are_fed_through_nails(girder, plies, share):
    """1.5·2 kN/m over 440 mm: 1.32 kN hangs there; four nails hold it."""
    found = girder(line(2.0), plies=plies)
    assert found["demand"]["value"] == pytest.approx(1.32 * share)
    assert found["limit"]["value"] == pytest.approx(4 * HOLDS / 1000, rel=1e-6)


def test_a_hung_force_is_met_by_the_nails_within_a_depth(girder):
    """1.5·4 kN: half of 6 kN against 4·0.529 kN."""
    found = girder(force(4.0, at_mm=1500))
    assert found["kind"] == "fail"
    assert found["utilisation"] == pytest.approx(3000 / (4 * HOLDS), rel=1e-6)
    assert abs(found["where"]["at_mm"] - 1500) <= 220 + 200  # a station answers for half-way to its neighbours


def test_a_force_that_may_stand_anywhere_is_met_everywhere(girder):
    fixed, roving = girder(force(2.0, at_mm=1500)), girder(force(2.0, anywhere=True))
    assert roving["demand"]["value"] == pytest.approx(fixed["demand"]["value"])


def test_lines_that_end_and_slope_count_for_what_lies_in_the_stretch(girder):
    """A load that grows from 0 to 4 kN/m over 1 m: its last 440 mm bring 4·0.44 − 4·0.44²/2 kN, and half of it 1.5 times passes the nails."""
    found = girder(line(0.0, line_end_kn_per_m=4.0, from_mm=1000, to_mm=2000))
    most = 0.75 * (4 * 0.44 - 4 * 0.44**2 / 2)  # the stretches that are looked at are at most 50 mm off the worst one
    assert 0.95 * most < found["demand"]["value"] <= most * (1 + 1e-9)


def test_closer_nails_hold_more(girder):
    used = [girder(line(2.0), nails=NAILS | {"spacing_mm": spacing})["utilisation"] for spacing in (200, 145, 80)]
    assert used == sorted(used, reverse=True)


def test_nails_far_apart_are_judged_over_their_own_distance(girder):
    """At 600 mm: two nails for 600 mm of load."""
    found = girder(line(1.0), nails=NAILS | {"spacing_mm": 600})
    assert found["demand"]["value"] == pytest.approx(0.5 * 1.5 * 0.6)
    assert found["limit"]["value"] == pytest.approx(2 * HOLDS / 1000, rel=1e-6)


@pytest.mark.parametrize(
    ("nails", "asked"),
    [(None, "ply_nailing"), (NAILS | {"f_u_mpa": None}, "ply_nailing"), (NAILS | {"form": None}, "ply_nailing"), (NAILS | {"length_mm": 65}, "too short"),
     (NAILS | {"length_mm": 40}, "cannot be worked out"), (NAILS | {"spacing_mm": 15}, "too near"), (NAILS | {"diameter_mm": 8, "length_mm": 120}, "so thin")],
    ids=["no nails", "no wire", "no form", "short", "through nothing", "too near", "too thick"],
)  # fmt: skip
def test_what_is_not_known_or_not_covered_is_open(girder, nails, asked):
    found = girder(line(1.0), nails=nails)
    assert found["kind"] == "open"
    assert asked in found["message"]


def test_one_ply_and_loads_at_nodes_need_no_nails(girder):
    assert girder(line(2.0), plies=1, nails=None)["kind"] == "notApplicable"
    assert girder({"node": "B", "x_kn": 3.0, "y_kn": 0.0}, nails=None)["kind"] == "notApplicable"
