"""Several pairs of plates at one node: what each passes by equilibrium, how two share, and what equilibrium does not tell."""

from __future__ import annotations

import datetime
import json
from typing import Any

import numpy as np
import plating
import pytest
from hypothesis import given
from hypothesis import strategies as st
from plating import STEEL, TEETH, of, shown

from rules.judge.checking import prepare
from rules.judge.contact import NO_CONTACT, Contact
from rules.judge.hanging import holds
from rules.judge.plated import plated_joints
from rules.judge.shared import Share, shares
from rules.judge.transfer import wrenches
from rules.subject.faults import DesignRefused
from service.schemas import load

Document = dict[str, Any]
JOINTS = "engine/unjudged-joints"
PULL, PUSH = 8.0, 2.0


def tie_with_post(*joints: Document) -> Document:
    """A tie of two pieces that meet at M, pulled by 12 kN, and a post that stands on M with 3 kN (both with the factor 1.5)."""
    document = plating.pulled_tie(PULL) | {"splices": [], "joints": list(joints)}
    document["nodes"] += [plating.node("M", 1500, 0), plating.node("C", 1500, 1000)]
    document["members"] = [
        plating.piece("T1", "ceiling-tie", ["A", "M"], 97), plating.piece("T2", "ceiling-tie", ["M", "B"], 97),
        plating.piece("W", "web", ["M", "C"], 72),
    ]  # fmt: skip
    document["supports"] += [{"id": "S3", "node": "M", "holds": ["y"]}, {"id": "S4", "node": "C", "holds": ["x"]}]
    document["actions"][0]["loads"].append({"node": "C", "x_kn": 0.0, "y_kn": -PUSH})
    return document


def pair(name: str, pieces: list[str] | None, length: float, width: float, angle: float, offset: tuple[float, float]) -> Document:
    return plating.joint(name, "M", length, width, angle, offset) | ({"pieces": pieces} if pieces else {})


SPLICE = pair("SP", ["T1", "T2"], 240, 60, 0, (0, -15))
FOOT = pair("FT", ["W", "T1"], 150, 100, 90, (0, 93))


def test_a_chord_splice_beside_the_plates_of_a_post(checked):
    """Own, step by step. The splice passes the pull alone: 12 kN, 6 kN a plate; under it 120 − 6 = 114 mm along and from −43.5 (5 mm from the
    edge) to 15, 58.5 mm across: 6669 mm², its middle 14.25 mm under the axis, so 6 kN turn it by 85.5 N·m. The foot passes the post's push alone:
    3 kN, 1.5 kN a plate; on the post 168 − 48.5 − 6 = 113.5 mm by 72 − 10 = 62 mm: 7037 mm²."""
    report = checked(tie_with_post(SPLICE, FOOT))
    splice, foot = (shown(of(report, TEETH, name)) for name in ("SP", "FT"))
    assert splice["A_ef"] == pytest.approx(114 * 58.5)
    assert splice["F_A,Ed"] == pytest.approx(6000)
    assert splice["M_A,Ed"] == pytest.approx(6000 * 14.25)
    row = next(row for row in report["quantities"]["joints"] if row["joint"] == "FT")
    post = next(each for each in row["pieces"] if each["member"] == "W")
    assert post["force_kn"] == pytest.approx(3.0)
    assert post["area_mm2"] == pytest.approx(113.5 * 62)
    assert {each["member"] for each in row["pieces"]} == {"T1", "W"}
    tie = next(each for each in row["pieces"] if each["member"] == "T1")
    assert tie["force_kn"] == pytest.approx(3.0)
    assert foot["τ_F,d"] == pytest.approx(1500 / tie["area_mm2"]), "on the tie there is less of it"
    assert not [each for each in report["findings"] if each["rule"] == JOINTS and each["kind"] == "open"]


def test_the_steel_of_each_pair_takes_its_own_line(checked):
    """The splice's 60 mm of line with 6 kN and 6 kN · 15 mm about its middle; the foot's 36 mm, half the post, in compression along the plate."""
    report = checked(tie_with_post(SPLICE, FOOT))
    splice, foot = (shown(of(report, STEEL, name)) for name in ("SP", "FT"))
    assert splice["l"] == pytest.approx(60)
    assert (splice["F_x"], splice["F_M"]) == pytest.approx((6000, 2 * 6000 * 15 / 60))
    assert (foot["l"], foot["F_x"]) == pytest.approx((36, -1500), abs=1e-3)


@pytest.mark.parametrize(
    ("joints", "who", "asked"),
    [
        ((SPLICE,), "SP", "no joint holds W"),
        ((SPLICE, FOOT | {"pieces": ["W", "T1", "T2"]}), "FT", "cannot be told by equilibrium"),
        ((SPLICE, FOOT, pair("F2", ["W", "T2"], 60, 40, 90, (25, 280))), "FT", "cannot be told by equilibrium"),
        ((pair("SP", ["T1", "T2"], 240, 40, 0, (0, -25)), pair("S2", ["T1", "T2"], 240, 40, 0, (0, 25)) | {"plate_type": "Q"}, FOOT), "SP", "yields otherwise"),
    ],
    ids=["a piece on no plate", "one pair holds all three", "a ring of three", "two types"],
)  # fmt: skip
def test_what_equilibrium_does_not_tell_stays_open(checked, joints, who, asked):
    document = tie_with_post(*joints)
    document["plate_types"] = [plating.TYPE, plating.TYPE | {"id": "Q"}]
    report = checked(document)
    found = of(report, JOINTS, who)
    assert found["kind"] == "open"
    assert asked in found["message"]
    assert of(report, TEETH, who)["kind"] == "open"
    assert report["verdict"] != "pass"


def test_what_another_joint_holds_elsewhere_closes_the_gap(checked):
    """The post stands on a shoe that somebody else judges: the splice is told, and the shoe is named."""
    shoe = {"id": "SHOE", "node": "M", "pieces": ["W", "T1"], "none_because": "a steel shoe, drawing S-20"}
    report = checked(tie_with_post(SPLICE, shoe))
    assert of(report, JOINTS, "SHOE")["kind"] == "informational"
    assert of(report, TEETH, "SP")["kind"] in ("pass", "fail")


UPPER, LOWER = pair("UP", ["T1", "T2"], 240, 40, 0, (0, 25)), pair("LO", ["T1", "T2"], 240, 40, 0, (0, -25))


def plain_tie(*joints: Document) -> Document:
    document = tie_with_post(*joints)
    document["nodes"] = [each for each in document["nodes"] if each["id"] != "C"]
    document["members"], document["supports"] = document["members"][:2], document["supports"][:3]
    document["actions"][0]["loads"].pop()
    return document


def test_two_alike_pairs_take_half_each(checked):
    """Own: 240 × 40, from 5 to 45 mm off the axis, 43.5 of it within the margin: 114 × 38.5 = 4389 mm². Half of 12 kN, 3 kN a plate, through its
    own middle 24.25 mm off the axis: no moment. τ_F = 0.6835 over 0.8 × 2.0/1.3 = 1.2308: 0.3084."""
    report = checked(plain_tie(UPPER, LOWER))
    for name in ("UP", "LO"):
        found = of(report, TEETH, name)
        assert shown(found)["A_ef"] == pytest.approx(4389)
        assert shown(found)["F_A,Ed"] == pytest.approx(3000)
        assert shown(found)["M_A,Ed"] == pytest.approx(0.0, abs=1e-3)
        assert found["utilisation"] == pytest.approx((3000 / 4389 / 1.230769) ** 2, rel=1e-5)


def test_unlike_pairs_share_by_their_area(checked):
    """Own: the lower pair 20 mm wide, 15 to 35 mm under the axis: 114 × 20 = 2280 mm² beside 4389: 0.3419 and 0.6581 of 12 kN."""
    report = checked(plain_tie(UPPER, LOWER | {"width_mm": 20}))
    forces = {name: shown(of(report, TEETH, name))["F_A,Ed"] for name in ("UP", "LO")}
    assert forces == pytest.approx({"UP": 6000 * 4389 / 6669, "LO": 6000 * 2280 / 6669})


def test_a_pair_that_misses_one_piece_shares_nothing(checked):
    report = checked(plain_tie(UPPER, LOWER | {"offset_mm": [200, -25]}))
    assert of(report, TEETH, "UP")["kind"] == "open"
    assert of(report, TEETH, "LO")["kind"] == "open"


@pytest.fixture
def passed(library):
    def run(document: Document) -> dict[str, Any]:
        frame = prepare(load(json.dumps(document).encode()), library, datetime.date(2026, 11, 25))
        every = np.eye(len(frame.response))
        table = frame.response.rows(slice(0, len(every)))
        return {plated.id: (plated, wrenches(frame, plated, table, every)) for plated in plated_joints(frame)}

    return run


def test_pairs_that_share_pass_together_what_one_would(passed):
    """Forces and moments about the node, of a tie under load across it as well; and each pair is in balance by itself."""
    bent = [{"member": "T1", "line_kn_per_m": 2.0, "along": "member", "direction": "down"}]
    both, one = plain_tie(UPPER, LOWER | {"width_mm": 20}), plain_tie(pair("ALL", None, 240, 97, 0, (0, 0)))
    for each in (both, one):
        each["actions"][0]["loads"] += bent
        each["members"][0]["ends"] = each["members"][1]["ends"] = {"start": "rigid", "end": "rigid"}
        each["supports"][0]["holds"], each["supports"][2]["holds"] = ["x", "y"], []
        each["supports"] = each["supports"][:2]
    shared, whole = passed(both), passed(one)
    assert shared["UP"][1] + shared["LO"][1] == pytest.approx(whole["ALL"][1], abs=1e-6)
    for _, found in shared.values():
        assert found.sum(axis=1) == pytest.approx(0.0, abs=1e-6)
    assert np.abs(whole["ALL"][1][..., 2]).max() > 1e4, "there is a moment to share"


def test_a_pair_for_every_web_passes_what_the_web_brings(passed):
    """Node F of a truss: three pairs from the tie to the post and the struts pass what one pair for all passes to each."""
    whole = plating.truss()
    apart = plating.truss()
    apart["joints"] = [each for each in apart["joints"] if each["node"] != "F"] + [
        plating.joint(f"F{name}", "F", 120, 60, 0, (x, 40)) | {"pieces": [name, "T"]} for name, x in (("W1", -90), ("P", 0), ("W2", 90))
    ]
    one, several = passed(whole), passed(apart)
    plated, found = one["JF"]
    wanted = {plated.bodies[i].member: found[:, i] for i in range(len(plated.bodies))}
    for name in ("FW1", "FP", "FW2"):
        own, here = several[name]
        web = next(i for i, body in enumerate(own.bodies) if body.member != 2)
        assert here[:, web] == pytest.approx(wanted[own.bodies[web].member], abs=1e-6)
        assert here.sum(axis=1) == pytest.approx(0.0, abs=1e-6)


def test_what_hangs_on_a_piece_comes_through_its_plates():
    """A strut on the post, the post on the tie: the pair between post and tie passes both."""
    document = plating.truss()
    document["joints"] = [
        plating.joint("PT", "F", 200, 100, 0, (0, 40)) | {"pieces": ["P", "T"]}, plating.joint("WP", "F", 80, 60, 0, (-50, 90)) | {"pieces": ["W1", "P"]},
        plating.joint("WT", "F", 80, 60, 0, (90, 40)) | {"pieces": ["W2", "T"]},
    ]  # fmt: skip
    held = holds(load(json.dumps(document).encode()))
    assert dict(zip(held["PT"].pieces, held["PT"].behind, strict=True)) == {"T": ("T", "W2"), "P": ("P", "W1")}
    assert dict(zip(held["WP"].pieces, held["WP"].behind, strict=True)) == {"P": ("P", "T", "W2"), "W1": ("W1",)}
    assert all(each.is_told for each in held.values())


COORDINATES = st.tuples(st.floats(-200, 200), st.floats(-200, 200))


@given(
    areas=st.lists(st.floats(100, 2e4), min_size=2, max_size=4),
    at=st.lists(COORDINATES, min_size=4, max_size=4),
    force=st.tuples(COORDINATES, st.floats(-1e6, 1e6)),
)
def test_shares_add_up_to_the_whole(areas, at, force):
    """Whatever the areas and middles: forces and moment about the node together are those that were to be shared."""
    contacts = [[Contact(area, middle, *[1.0] * 7)] * 2 for area, middle in zip(areas, at, strict=False)]
    whole = np.array([[*force[0], force[1]]])
    together = sum(share.of(whole) for share in shares(contacts, True))
    assert together == pytest.approx(whole, rel=1e-9, abs=1e-5)


def test_shares_are_not_told_of_unlike_plates_or_of_one_that_misses():
    contact = Contact(100.0, (1.0, 2.0), *[1.0] * 7)
    assert shares([[contact, contact]], False) == (Share(),)
    assert np.isnan(shares([[contact, contact]] * 2, False)[0].part)
    assert np.isnan(shares([[contact, contact], [contact, NO_CONTACT]], True)[0].part)


REFUSED = {
    "two pairs, one without its pieces": ([SPLICE, {**FOOT, "pieces": None}], ("joined-twice", "/joints/1/node")),
    "a piece that is elsewhere": ([SPLICE | {"pieces": ["T1", "X"]}], ("dangling-id", "/joints/0/pieces/1")),
    "a piece named twice": ([SPLICE | {"pieces": ["T1", "T1"]}], ("duplicate-id", "/joints/0/pieces/1")),
    "two orders of cutting": (
        [SPLICE | {"cut_order": ["T1", "T2"]}, FOOT | {"cut_order": ["T2", "T1"]}],
        ("contradiction", "/joints/1/cut_order"),
    ),
}


@pytest.mark.parametrize(("joints", "fault"), REFUSED.values(), ids=REFUSED)
def test_what_contradicts_itself_is_refused(checked, joints, fault):
    with pytest.raises(DesignRefused) as refused:
        checked(tie_with_post(*joints))
    assert fault in [(each.code, each.pointer) for each in refused.value.faults]


def test_plates_that_lie_on_each_other_stay_open(checked):
    report = checked(plain_tie(UPPER, LOWER | {"offset_mm": [0, 0]}))
    found = of(report, "engine/plates-apart", "UP")
    assert (found["kind"], "LO" in found["message"]) == ("open", True)


@pytest.mark.parametrize(
    "cut", [{"holes": [{"at_mm": 1450, "depth_mm": 20}]}, {"notches": [{"at_mm": 1500, "length_mm": 60, "depth_mm": 20, "face": "upper"}]}]
)
@pytest.mark.parametrize(("moved", "kinds"), [(0, {"open"}), (600, set())])
def test_plates_on_a_hole_or_notch_stay_open(checked, cut, moved, kinds):
    document = plating.pulled_tie(4.0)
    (listed,) = cut.values()
    document["members"][0] |= {name: [{**listed[0], "at_mm": listed[0]["at_mm"] + moved}] for name in cut}
    found = [each for each in checked(document)["findings"] if each["rule"] == "engine/plates-apart"]
    assert {each["kind"] for each in found} == kinds


def test_plates_turned_within_their_tolerance_are_judged_turned(checked):
    """The splice of the hand case turned by 10°: no worse place than this, so it uses what the same plates drawn at 10° use."""
    turned = checked(plating.pulled_tie(12.0, turning_tolerance_deg=10))
    drawn = [checked(plating.pulled_tie(12.0, angle_deg=angle)) for angle in (10, -10)]
    plain = of(checked(plating.pulled_tie(12.0)), TEETH, "SP")["utilisation"]
    found = of(turned, TEETH, "SP")
    assert found["utilisation"] == pytest.approx(max(of(each, TEETH, "SP")["utilisation"] for each in drawn))
    assert found["utilisation"] > plain
    assert "turned by" in found["message"]
