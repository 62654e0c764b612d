"""Buckling and restraint lengths: stated, derived where the code's rule holds, asked for where it does not."""

from __future__ import annotations

import pytest

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


def test_a_panel_of_four_corners_is_asked_about(document, checked, found):
    report = checked(king_post(document, triangulated=False))
    compression = found(report, "eurocode-timber/compression", "R1")
    assert compression["kind"] == "open"
    assert "restraint_spacing.in_plane_mm" in compression["message"]
    stated = king_post(document, triangulated=False)
    for member in stated["members"]:
        member["restraint_spacing"] = {"in_plane_mm": 2000}
    assert found(checked(stated), "eurocode-timber/compression", "R1")["kind"] in ("pass", "fail")


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
