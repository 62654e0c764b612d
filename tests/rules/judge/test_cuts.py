"""Holes and notches from a whole document: which rule speaks of which cut, with which forces, and which are left to an engineer.

Joist of all cases: 47 × 220 C24 over 4 m, 1 kN/m of permanent load, so V = 2.7 kN and M = 2.7 kNm in the ultimate limit state.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

Document = dict[str, Any]
LOAD = {"id": "dead", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 1.0, "along": "member", "direction": "down"}]}
F_VD = 0.6 * 4.0 / 1.3
END = {"at_mm": 40, "length_mm": 80, "depth_mm": 50, "face": "lower"}


@pytest.fixture
def judged(bar, checked, found) -> Callable[..., dict[str, Document]]:
    def run(*, actions: list[Document] | None = None, **cuts: Any) -> dict[str, Document]:
        report = checked(bar(4000, {"b_mm": 47, "h_mm": 220}, member={"role": "joist"} | cuts, actions=actions or [LOAD]))
        return {slug: found(report, f"eurocode-timber/{slug}", "M") for slug in ("cuts", "notched-support", "net-section")}

    return run


def k_v(depth: float, reach: float) -> float:
    """(6.62) for a square notch in solid timber 220 mm deep."""
    share = 1.0 - depth / 220.0
    ends = math.sqrt(share * (1 - share)) + 0.8 * reach / 220.0 * math.sqrt(1 / share - share**2)
    return min(1.0, 5.0 / (math.sqrt(220.0) * ends))


@pytest.mark.parametrize("at", [40, 3960])
def test_a_notch_over_either_bearing(judged, at):
    """τ = 1.5·2700/(0.67·47·170) over k_v with x = 80 mm, whichever end the piece is measured from."""
    found = judged(notches=[END | {"at_mm": at}])
    ratio = 1.5 * 2700 / (0.67 * 47 * 170) / (k_v(50, 80) * F_VD)
    assert found["notched-support"]["utilisation"] == pytest.approx(ratio)
    assert found["cuts"]["kind"] == "notApplicable"


def test_a_deeper_and_a_longer_notch_are_worse(judged):
    used = [
        judged(notches=[END | more])["notched-support"]["utilisation"] for more in ({}, {"depth_mm": 70}, {"length_mm": 120, "at_mm": 60})
    ]
    assert used[0] < min(used[1:])


@pytest.mark.parametrize(("aside", "reach"), [(0, 80), (30, 50)])
def test_the_bearings_middle_counts_not_the_node(bar, checked, found, aside, reach):
    """The joist begins 100 mm before its bearing's node; the notch ends 80 mm beyond it."""
    notch = END | {"at_mm": 90, "length_mm": 180}
    document = bar(4000, {"b_mm": 47, "h_mm": 220}, member={"nodes": ["O", "A", "B"], "notches": [notch]}, actions=[LOAD])
    seat = document["supports"][0]["seat"] | {"offset_mm": [aside, 0]}
    document["supports"][0]["seat"] = seat
    report = checked(document | {"nodes": [*document["nodes"], {"id": "O", "x_mm": -100, "y_mm": 0}]})
    working = found(report, "eurocode-timber/notched-support", "M")["working"]
    assert [step["value"] for step in working if step["symbol"] == "k_v"] == pytest.approx([k_v(50, reach)])


def test_uplift_splits_the_upper_notch(judged):
    upper = END | {"face": "upper"}
    pressed = judged(notches=[upper])["notched-support"]["utilisation"]
    assert pressed == pytest.approx(1.5 * 2700 / (0.67 * 47 * 170) / F_VD)
    suction = {"id": "wind", "nature": "wind", "loads": [LOAD["loads"][0] | {"line_kn_per_m": 3.0, "direction": "up"}]}
    lifted = judged(notches=[upper], actions=[LOAD, suction])["notched-support"]
    net = 2.0 * (1.5 * 3.0 - 1.0)
    assert lifted["utilisation"] > 1.5 * 1000 * net / (0.67 * 47 * 170) / (1.1 * 4.0 / 1.3)


def test_a_hole_on_the_axis_at_mid_span(judged):
    """W (1 − (50/220)³); M between the stations beside it is what they see: 2.7 kNm at mid-span."""
    found = judged(holes=[{"at_mm": 2000, "depth_mm": 50}])
    modulus = 47 * 220**2 / 6 * (1 - (50 / 220) ** 3)
    assert found["net-section"]["utilisation"] == pytest.approx(2.7e6 / modulus / (0.6 * 24 / 1.3))
    assert found["net-section"]["kind"] == "pass"


@pytest.mark.parametrize(
    ("cuts", "rule"),
    [
        ({"holes": [{"at_mm": 2000, "depth_mm": 60}]}, "net-section"),
        ({"holes": [{"at_mm": 100, "depth_mm": 50}]}, "net-section"),
        ({"notches": [END | {"at_mm": 2000}]}, "net-section"),
        ({"notches": [{"at_mm": 40, "depth_mm": 50, "face": "lower"}]}, "cuts"),
        ({"notches": [{"at_mm": 40, "depth_mm": 50, "length_mm": 80}]}, "cuts"),
        ({"notches": [END | {"face": "left"}]}, "cuts"),
        ({"holes": [{"at_mm": 2000, "depth_mm": 40, "face": "lower"}]}, "cuts"),
        ({"holes": [{"at_mm": 2000, "depth_mm": 40}, {"at_mm": 2200, "depth_mm": 40}]}, "cuts"),
    ],
    ids=["big hole", "hole near a bearing", "pulled notch", "no length", "no face", "side face", "hole off the axis", "too near"],
)
def test_what_no_rule_covers_is_open(judged, cuts, rule):
    actions = [LOAD | {"loads": [LOAD["loads"][0] | {"line_kn_per_m": 1.2}]}]
    found = judged(actions=actions, **cuts)
    assert found[rule]["kind"] == "open"
    assert {each["kind"] for name, each in found.items() if name != rule} == {"notApplicable"}


def test_a_notch_on_the_pressed_side_is_judged(judged):
    found = judged(notches=[END | {"at_mm": 2000, "face": "upper"}])
    modulus = 47 * 170**2 / 6
    assert found["net-section"]["utilisation"] == pytest.approx(2.7e6 / modulus / (0.6 * 24 / 1.3))
    assert found["notched-support"]["kind"] == "notApplicable"


def test_a_whole_piece_is_asked_nothing(judged):
    assert {each["kind"] for each in judged().values()} == {"notApplicable"}
