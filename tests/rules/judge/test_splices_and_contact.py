"""Spliced pieces: how much reserve makes a splice count as stiff, what takes its place, and what pieces that touch pass to each other."""

from __future__ import annotations

import copy
from typing import Any

import plating
import pytest
from plating import STEEL, TEETH, of, shown, used

Document = dict[str, Any]


@pytest.mark.parametrize(
    ("kn", "kind"), [(10.0, "pass"), (14.0, "open"), (20.0, "fail")], ids=["reserve of a half", "strong, without it", "too weak"]
)
def test_a_splice_counts_as_stiff_with_a_reserve_of_a_half(checked, kn, kind):
    """τ_F = 1.5·kn/2/9918 over 1.2308: 0.614, 0.860, 1.229 of its hold, where 1/1.5 is needed (5.4.2)."""
    found = of(checked(plating.pulled_tie(kn)), "eurocode-timber/stiff-splice", "SP", "anchorage")
    assert found["kind"] == kind
    assert found["demand"]["value"] == pytest.approx(750 * kn / 9918 / 1.230769, rel=1e-5)


SECOND = {"plate_type": "P", "length_mm": 240, "width_mm": 97, "placing_tolerance_mm": 0}


def spliced_truss(*at: float, roof: float = 4.55, ceiling: float = 0.0) -> Document:
    """The truss with splices in its tie that have next to no reserve; kN/m of roof and ceiling on it."""
    loads = [{"member": name, "line_kn_per_m": roof, "along": "plan", "direction": "down"} for name in ("R1", "R2")]
    loads += [{"member": "T", "line_kn_per_m": ceiling, "along": "plan", "direction": "down"}] if ceiling else []
    return plating.truss(loads=loads, splices=[{"id": f"SP{i}", "member": "T", "at_mm": mm} | SECOND for i, mm in enumerate(at)])


@pytest.mark.parametrize(
    ("document", "kind", "most"),
    [
        (spliced_truss(1000.0), "pass", 1.0),
        (spliced_truss(1000.0, 5000.0), "open", 2.0 / 3.0),
        (spliced_truss(1000.0, 2000.0), "open", 2.0 / 3.0),
        (spliced_truss(1000.0, roof=3.4, ceiling=0.45), "open", 2.0 / 3.0),
    ],
    ids=["one hinge", "a hinge in either bay", "two hinges in one bay", "bent by a ceiling"],
)
def test_a_splice_counts_as_stiff_without_reserve_where_its_piece_is_little_bent(checked, document, kind, most):
    """5.4.2, the second way: bent by at most 0.3 of the strength, and the frame stands with hinges: between two of them the tie
    hangs loose in one bay, or rocks on the node between two."""
    found = of(checked(document), "eurocode-timber/stiff-splice", "SP0", "anchorage")
    assert 2.0 / 3.0 < found["demand"]["value"] <= 1.0
    assert found["kind"] == kind
    assert found["limit"]["value"] == pytest.approx(most)


def test_two_halves_that_meet_at_a_node_are_the_hinge(checked):
    """The remedy the finding names: analysed with a hinge, the joint needs no reserve."""
    document = spliced_truss(1000.0, roof=3.4, ceiling=0.45)
    nodes = [*document["nodes"], plating.node("H", 1000, 0)]
    members = [member for member in document["members"] if member["id"] != "T"]
    halves = [plating.piece("T", "ceiling-tie", ["A", "H"], 97), plating.piece("T2", "ceiling-tie", ["H", "F", "E"], 97)]
    action = copy.deepcopy(document["actions"][0])
    action["loads"].append({"member": "T2", "line_kn_per_m": 0.45, "along": "plan", "direction": "down"})
    plate = {"id": "SP0", "node": "H", "angle_deg": 0} | SECOND
    supports = [document["supports"][0], document["supports"][1] | {"seat": {"member": "T2"}}]
    changed = document | {"nodes": nodes, "members": [*members, *halves], "splices": [], "actions": [action], "supports": supports}
    report = checked(changed | {"joints": [*document.get("joints", []), plate]})
    assert of(report, "eurocode-timber/stiff-splice", "SP0", "anchorage")["kind"] == "notApplicable"
    assert of(report, TEETH, "SP0")["kind"] == "pass"


TIGHT, LOOSE = {"mean_mm": 1.0, "most_mm": 3.0}, {"mean_mm": 1.6, "most_mm": 3.0}


@pytest.mark.parametrize(("gaps", "share"), [(None, 1.0), (LOOSE, 1.0), (TIGHT, 0.5)], ids=["no promise", "too wide", "tight"])
def test_contact_is_counted_on_only_where_gaps_are_promised(checked, gaps, share):
    """Pressed by 12 kN without moment: (8.50) leaves the plates the whole force, the line half of it; without a promise both all of it."""
    report = checked(plating.pulled_tie(-8.0, gaps=gaps))
    assert of(report, TEETH, "SP")["utilisation"] == pytest.approx((6000 / 9918 / 1.230769) ** 2, rel=1e-5)
    assert of(report, STEEL, "SP")["utilisation"] == pytest.approx((share * 6000 * 1.15 / (200 * 97)) ** 2, rel=1e-5)


def test_a_pull_is_never_taken_by_contact(checked):
    tight, plain = (checked(plating.pulled_tie(8.0, 0.05, gaps=gaps)) for gaps in (TIGHT, None))
    assert used(tight, TEETH) == used(plain, TEETH)
    assert used(tight, STEEL) == used(plain, STEEL)


def test_pieces_that_butt_share_the_moment(checked):
    """20 kN of compression with 0.4 kNm: 10 kN − 3·0.2/(2·0.097) = 6.907 kN and 0.1 kNm on one plate; own hand calculation."""
    working = shown(of(checked(plating.pulled_tie(-20 / 1.5, 0.4 / 1.5, gaps=TIGHT)), TEETH, "SP"))
    assert working["F_A,Ed"] == pytest.approx(6907.2165, rel=1e-5)
    assert working["M_A,Ed"] == pytest.approx(100_000, rel=1e-6)


def test_contact_helps_pressed_joints_of_a_truss_and_keeps_the_plates_in_balance(checked):
    tight = plating.truss()
    for each in tight["joints"]:
        each["gaps"] = TIGHT
    with_contact, without = checked(tight), checked(plating.truss())
    assert of(with_contact, STEEL, "JB")["utilisation"] < of(without, STEEL, "JB")["utilisation"]
    assert of(with_contact, TEETH, "JB")["utilisation"] < of(without, TEETH, "JB")["utilisation"]


def test_two_pieces_of_one_line_at_a_node_are_a_splice(checked):
    """The same tie in two pieces that meet at a node, pinned: the same pull on the same plates, covered over the depth by 97 of 97 mm."""
    whole, cut = plating.pulled_tie(12.0), plating.pulled_tie(12.0) | {"splices": []}
    cut["nodes"].insert(1, plating.node("M", 1500, 0))
    cut["members"] = [plating.piece("T1", "ceiling-tie", ["A", "M"], 97), plating.piece("T2", "ceiling-tie", ["M", "B"], 97)]
    cut["supports"].append({"id": "S3", "node": "M", "holds": ["y"]})
    cut["joints"] = [plating.joint("SP", "M", 240, 97, 0, (0, 0))]
    report = checked(cut)
    assert of(report, TEETH, "SP")["utilisation"] == pytest.approx(used(checked(whole), TEETH)["SP"], rel=1e-6)
    assert of(report, "eurocode-timber/plate-overlap", "SP", "splice")["limit"]["value"] == pytest.approx(97.0)
    assert of(report, "eurocode-timber/stiff-splice", "SP", "anchorage")["kind"] == "notApplicable"
