"""Buckling and restraint lengths: stated, derived where the code's rule holds, asked for where it does not."""

from __future__ import annotations

import numpy as np
import pytest

from rules.judge.buckled import longest

PUSH = {"along": "plan", "direction": "down"}


def king_post(document, *, triangulated: bool):
    """A king-post truss of 6 m; without its struts the rafters are no longer part of triangles at mid-length."""
    xy = {"A": (0, 0), "B": (6000, 0), "C": (3000, 2000), "D": (3000, 0), "E": (1500, 1000), "F": (4500, 1000), "O": (-600, -400)}
    pieces = {
        "R1": ("rafter", ["O", "A", "E", "C"]),
        "R2": ("rafter", ["B", "F", "C"]),
        "T": ("ceiling-tie", ["A", "D", "B"]),
        "K": ("post", ["D", "C"]),
        "S1": ("strut", ["D", "E"]),
        "S2": ("strut", ["D", "F"]),
    }
    if not triangulated:  # the struts meet on a tie of their own instead: panels of four corners
        xy |= {"G": (2400, 0), "H": (3600, 0)}
        pieces |= {"S1": ("strut", ["G", "E"]), "S2": ("strut", ["H", "F"]), "T": ("ceiling-tie", ["A", "G", "D", "H", "B"])}
    members = [
        {"id": name, "role": role, "nodes": nodes, "section": {"b_mm": 47, "h_mm": 120}, "grade": "C24"}
        for name, (role, nodes) in pieces.items()
    ]
    return document | {
        "component_type": "trussed-rafter",
        "nodes": [{"id": name, "x_mm": x, "y_mm": y} for name, (x, y) in xy.items()],
        "members": members,
        "supports": [{"id": "SA", "node": "A", "holds": ["x", "y"]}, {"id": "SB", "node": "B", "holds": ["y"]}],
        "actions": [{"id": "snow", "nature": "snow", "loads": [{"member": name, "line_kn_per_m": 1.0, **PUSH} for name in ("R1", "R2")]}],
    }


def taken(report, pointer: str):
    (assumption,) = (each for each in report["assumptions"] if each["pointer"] == pointer)
    return assumption


def test_bays_of_triangles_buckle_over_their_own_length(document, checked):
    report = checked(king_post(document, triangulated=True))
    lengths = taken(report, "/members/0/restraint_spacing/in_plane_mm")
    overhang, bay = (600**2 + 400**2) ** 0.5, (1500**2 + 1000**2) ** 0.5
    assert lengths["value"] == pytest.approx([2 * overhang, bay, bay], abs=0.01), "a free end buckles over twice its length"
    assert lengths["citation"]["clause"] == "9.2.1(2)-(3)"
    assert taken(report, "/members/4/restraint_spacing/in_plane_mm")["value"] == pytest.approx(bay, abs=0.01)


def test_a_panel_of_four_corners_buckles_with_the_frame(document, checked, found):
    """Nothing gives these bays a length but the frame's own buckling; where that tells none the piece stays open."""
    report = checked(king_post(document, triangulated=False))
    told = taken(report, "/members/0/restraint_spacing/in_plane_mm")
    assert told["confirm"] == "engineer"
    assert max(each for each in told["value"] if each is not None) > 1803.0, "softer than the bay of a triangle"
    compression = found(report, "eurocode-timber/compression", "R1")
    assert compression["kind"] in ("pass", "fail")
    length = next(step["value"] for step in compression["working"] if step["symbol"] == "l_y")
    assert any(length == pytest.approx(each, abs=0.01) for each in told["value"] if each is not None)


def portal(document):
    """Two columns of 3 m pinned at their feet, a beam joined stiffly to their heads, pressed at the heads alone."""
    xy = {"A": (0, 0), "B": (0, 3000), "C": (2000, 3000), "D": (2000, 0)}
    pieces = {"L": ["A", "B"], "H": ["B", "C"], "R": ["D", "C"]}
    sections = {"L": {"b_mm": 47, "h_mm": 120}, "R": {"b_mm": 47, "h_mm": 120}, "H": {"b_mm": 300, "h_mm": 1000}}
    ends = {"L": {"end": "rigid"}, "R": {"end": "rigid"}, "H": {"start": "rigid", "end": "rigid"}}
    return document | {
        "nodes": [{"id": name, "x_mm": x, "y_mm": y} for name, (x, y) in xy.items()],
        "members": [
            {"id": name, "role": "post", "nodes": nodes, "section": sections[name], "grade": "C24", "ends": ends[name]}
            for name, nodes in pieces.items()
        ],
        "supports": [{"id": f"S{node}", "node": node, "holds": ["x", "y"]} for node in ("A", "D")],
        "actions": [{"id": "g", "nature": "permanent", "loads": [{"node": node, "y_kn": -2.0} for node in ("B", "C")]}],
    }


def test_the_columns_of_a_swaying_portal_buckle_over_twice_their_height(document, checked):
    """Pinned feet and a beam that does not turn: the column of a portal free to sway has l_ef = 2 h (Euler)."""
    report = checked(portal(document))
    for place in (0, 2):
        assert taken(report, f"/members/{place}/restraint_spacing/in_plane_mm")["value"] == [pytest.approx(6000.0, rel=0.01)]


def test_a_stated_length_is_not_replaced(document, checked, found):
    stated = king_post(document, triangulated=False)
    for member in stated["members"]:
        member["restraint_spacing"] = {"in_plane_mm": 2000}
    report = checked(stated)
    assert found(report, "eurocode-timber/compression", "R1")["kind"] in ("pass", "fail")
    told = [each for each in report["assumptions"] if each["pointer"].endswith("in_plane_mm")]
    assert {(each["value"], each["confirm"]) for each in told} == {(2000.0, "engineer")}, "whose word it is"


def test_nothing_said_is_the_whole_piece(document, checked):
    report = checked(king_post(document, triangulated=True))
    whole = (3600**2 + 2400**2) ** 0.5
    for field in ("out_of_plane_mm", "top_edge_mm", "bottom_edge_mm"):
        assert taken(report, f"/members/0/restraint_spacing/{field}")["value"] == pytest.approx(whole, abs=0.01)


def test_none_is_the_whole_piece_without_a_word(document, checked, found):
    said = king_post(document, triangulated=True)
    said["members"][0]["restraint_spacing"] = {"out_of_plane_mm": "none", "in_plane_mm": "none"}
    report = checked(said)
    assert not [each for each in report["assumptions"] if each["pointer"].startswith("/members/0/restraint_spacing/out")]
    steps = {step["symbol"]: step["value"] for step in found(report, "eurocode-timber/compression", "R1")["working"]}
    assert steps["l_y"] == steps["l_z"] == pytest.approx((3600**2 + 2400**2) ** 0.5)


def test_a_stated_spacing_must_be_there_on_site(document, checked):
    said = king_post(document, triangulated=True)
    said["members"][0]["restraint_spacing"] = {"out_of_plane_mm": 345}
    assert taken(checked(said), "/members/0/restraint_spacing/out_of_plane_mm")["confirm"] == "site"


def test_a_bay_that_is_told_nothing_in_any_combination_stays_unknown():
    told = longest([np.array([np.nan, np.inf, 100.0]), np.array([np.nan, 50.0, 90.0])])
    assert np.array_equal(told, [np.nan, 50.0, 100.0], equal_nan=True)


def test_no_bay_buckles_over_less_than_half_its_length(bar, checked, found):
    """Euler's strut with both ends fixed: half. Less holds nothing, whoever states it: the frame's own buckling is asked instead."""
    pushed = [{"id": "g", "nature": "permanent", "loads": [{"node": "B", "y_kn": -2.0}]}]

    def used(in_plane):
        restraint = {"in_plane_mm": in_plane, "out_of_plane_mm": 100}
        report = checked(bar(2000, {"b_mm": 72, "h_mm": 72}, upright=True, restraint=restraint, actions=pushed))
        return found(report, "eurocode-timber/compression", "M")["utilisation"]

    assert used(100) == pytest.approx(used(None), rel=0.03), "the frame buckles as a pinned strut, its give in shear counted"
    assert used(1000) < used(None)
