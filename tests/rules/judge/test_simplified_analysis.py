"""The simplified analysis of EN 1995-1-1 5.4.3 as a caller's choice: by hand, with its conditions, beside the general one.

The clauses are from memory. Hand case, own: a king post truss, half span a = 2 m, rise 1 m, q = 1 kN/m on the tie, which runs over the post.
The tie as a beam on three firm supports: q a²/8 = 0.5 kNm over D, less a tenth 0.45; D carries 1.25 q a = 2.5 kN, which the post hands up to
C. There 2 N sin θ = 2.5 with sin θ = 1/√5: N = 2.795 kN in the rafters, 2.795 cos θ = 2.5 kN in the tie. Between A and D the moment is
greatest where q a/2 − 0.45/a = 0.775 kN is used up: 0.775²/2 = 0.3003 kNm. All times 1.35.
"""

from __future__ import annotations

import datetime
import json
import math

import numpy as np
import pytest
from scipy import linalg

from rules.judge.checking import prepare
from rules.judge.simplified import lessened, simplified
from service.demo import read_design
from service.schemas import load

G = 1.35
PACK = "eurocode-timber/"


def envelope(report, member, what, end):
    (of_member,) = (each for each in report["response"]["envelopes"] if each["member"] == member)
    (field,) = (name for name in of_member[what][end] if name.endswith(("_kn", "_knm")))
    return of_member[what][end][field]


def kinds(report, rule):
    return {(each["where"]["member"], each["part"]): each["kind"] for each in report["findings"] if each["rule"] == PACK + rule}


@pytest.fixture
def truss(king_post):
    return king_post()


def test_forces_come_out_as_by_hand(truss, checked, chosen):
    report = checked(chosen(truss, "simplified"))
    assert envelope(report, "P", "n", "max") == pytest.approx(G * 2.5, rel=1e-4)
    assert envelope(report, "R1", "n", "min") == pytest.approx(-G * 2.5 / 2.0 * math.sqrt(5.0), rel=1e-4)
    assert envelope(report, "T", "n", "max") == pytest.approx(G * 2.5, rel=1e-4)
    assert envelope(report, "T", "m", "min") == pytest.approx(-G * 0.45, rel=1e-4)
    assert envelope(report, "T", "m", "max") == pytest.approx(G * 0.775**2 / 2.0, rel=2e-3), "between stations the peak is a little higher"
    assert envelope(report, "T", "v", "max") == pytest.approx(G * (1.0 + 0.45 / 2.0), rel=1e-4), "each bay stays in balance"


def test_a_pressed_piece_is_judged_for_a_tenth_more(truss, checked, found, chosen):
    finding = found(checked(chosen(truss, "simplified")), PACK + "compression", "R1")
    stress = next(step for step in finding["working"] if step["symbol"] == "σ_c,0,d")
    assert stress["value"] == pytest.approx(1.1 * G * 1250.0 * math.sqrt(5.0) / (47.0 * 97.0), rel=1e-4)


def test_a_pulled_piece_is_not(truss, checked, found, chosen):
    finding = found(checked(chosen(truss, "simplified")), PACK + "tension", "P")
    stress = next(step for step in finding["working"] if step["symbol"] == "σ_t,0,d")
    assert stress["value"] == pytest.approx(G * 2500.0 / (47.0 * 97.0), rel=1e-4)


def test_the_report_says_which_analysis_it_was(truss, checked, chosen):
    for word in ("general", "simplified"):
        (said,) = (each for each in checked(chosen(truss, word))["assumptions"] if each["pointer"] == "/codes/parameters/analysis")
        assert (said["value"], said["confirm"]) == (word, "engineer")


def test_movements_stay_those_of_the_frame(truss, checked, chosen):
    plain, short = checked(truss), checked(chosen(truss, "simplified"))
    of = [
        {(e["where"]["member"], e["part"]): e["utilisation"] for e in each["findings"] if "deflection" in e["rule"]}
        for each in (plain, short)
    ]
    assert of[0] == of[1]
    assert of[0]


def test_pinned_at_the_nodes_and_loaded_there_statics_alone_tells_the_forces(king_post, checked, chosen):
    """2 kN at C: N = 1/sin θ. The frame as it stands lets the tie, which bends, carry a little of it past the post."""
    truss = king_post(q=None)
    for word, near in (("simplified", 1e-4), ("general", 1e-2)):
        assert envelope(checked(chosen(truss, word)), "R1", "n", "min") == pytest.approx(-G * math.sqrt(5.0), rel=near)


def test_joints_are_judged_for_axial_forces_a_tenth_greater(king_post, library, chosen):
    frame = prepare(load(json.dumps(chosen(king_post(), "simplified")).encode()), library, datetime.date(2026, 11, 25))
    answers = simplified(frame, frame.settled.sets["ultimate"])
    assert answers.joints.table.n == pytest.approx(1.1 * answers.table.n, rel=1e-12)
    assert np.array_equal(answers.joints.table.m, answers.table.m)


def test_a_truss_loaded_at_its_nodes_keeps_three_tenths(king_post, checked, found, chosen):
    truss = king_post(q=None)
    report = checked(chosen(truss, "simplified"))
    finding = found(report, PACK + "node-loaded-truss", "T", "tension")
    assert finding["limit"]["value"] == 0.7
    assert finding["utilisation"] == pytest.approx(found(report, PACK + "tension", "T")["utilisation"] / 0.7, rel=1e-6)
    assert set(kinds(checked(truss), "node-loaded-truss").values()) == {"notApplicable"}
    assert set(kinds(checked(chosen(king_post(), "simplified")), "node-loaded-truss").values()) == {"notApplicable"}


def moved(truss, **bearing):
    """Its rafter runs over the node as a short tail, so that the bearing may stand off it."""
    first, second = truss["supports"]
    nodes = [*truss["nodes"], {"id": "E", "x_mm": -200, "y_mm": -100}]
    members = [each | ({"nodes": ["E", "A", "C"]} if each["id"] == "R1" else {}) for each in truss["members"]]
    return truss | {"nodes": nodes, "members": members, "supports": [first | {"seat": first["seat"] | bearing}, second]}


def stiffened(truss, ends):
    return truss | {"members": [each | ({"ends": ends} if each["id"] == "P" else {}) for each in truss["members"]]}


def off_its_node(truss):
    return truss | {
        "members": [each | ({"offset_mm": {"start": [0, 0], "end": [0, 40]}} if each["id"] == "P" else {}) for each in truss["members"]]
    }


def raised(truss):
    """The middle of the tie higher than its ends: two pieces, a corner that points inwards by 2 atan(0.3/2) = 17.06 degrees."""
    nodes = [each | ({"y_mm": 300.0} if each["id"] == "D" else {}) for each in truss["nodes"]]
    tie = next(each for each in truss["members"] if each["id"] == "T")
    members = [each for each in truss["members"] if each["id"] != "T"]
    members += [tie | {"id": "T", "nodes": ["A", "D"]}, tie | {"id": "U", "nodes": ["D", "B"]}]
    seats = [each | {"seat": each["seat"] | {"member": piece}} for each, piece in zip(truss["supports"], "TU", strict=True)]
    return truss | {
        "nodes": nodes,
        "members": members,
        "supports": seats,
        "actions": [{"id": "g", "nature": "permanent", "loads": [{"node": "C", "y_kn": -2.0}]}],
    }


BROKEN = [
    ("height-for-span", lambda k: k(rise=590.0, depth=47.0), 600.0, "590 mm"),
    ("height-for-depth", lambda k: k(depth=120.0), 1200.0, "1000 mm"),
    ("bearings", lambda k: moved(k(), offset_mm=[120, 0]), 1.2, "1.20 times"),
    ("ends", lambda k: stiffened(k(), {"start": "rigid", "end": "pinned"}), 1.0, "1.00"),
    ("system-lines", lambda k: off_its_node(k()), 40.0, "40.0 mm"),
    ("outline", lambda k: raised(k()), 2.0 * math.degrees(math.atan(0.15)), "17.1"),
]


@pytest.mark.parametrize(("part", "make", "number", "words"), BROKEN, ids=[each[0] for each in BROKEN])
def test_a_condition_that_is_not_met_is_open_with_its_numbers_and_nothing_is_judged_for_strength(
    king_post, checked, found, part, make, number, words, chosen
):
    report = checked(chosen(make(king_post), "simplified"))
    finding = found(report, PACK + "simplified-analysis", None, part)
    assert finding["kind"] == "open"
    assert finding["demand"]["value"] == pytest.approx(number, rel=1e-6)
    assert words in finding["message"]
    assert report["verdict"] == "open"
    for rule in ("bending", "compression", "tension", "shear", "bending-with-tension", "bending-with-compression", "lateral-torsion"):
        assert set(kinds(report, rule).values()) <= {"open", "notApplicable"}, rule
    assert all(
        each["kind"] == "pass" for each in report["findings"] if each["rule"].endswith("simplified-analysis") and each["part"] != part
    )


def test_a_portal_is_no_truss_of_triangles(king_post, checked, found, chosen):
    truss = king_post()
    legs = [
        {"id": "L1", "role": "post", "nodes": ["E", "F"], "section": {"b_mm": 47, "h_mm": 97}, "grade": "C24"},
        {"id": "L2", "role": "post", "nodes": ["D", "C"], "section": {"b_mm": 47, "h_mm": 97}, "grade": "C24"},
    ]
    rafter = next(each for each in truss["members"] if each["id"] == "R1") | {"nodes": ["A", "F", "C"]}
    tie = next(each for each in truss["members"] if each["id"] == "T") | {"nodes": ["A", "E", "D", "B"]}
    others = [each for each in truss["members"] if each["id"] == "R2"]
    nodes = [*truss["nodes"], {"id": "E", "x_mm": 1000, "y_mm": 0}, {"id": "F", "x_mm": 1000, "y_mm": 500}]
    report = checked(chosen(truss | {"nodes": nodes, "members": [rafter, tie, *others, *legs]}, "simplified"))
    assert found(report, PACK + "simplified-analysis", None, "panels")["kind"] == "open"


def test_the_general_analysis_asks_none_of_this(truss, checked):
    assert set(kinds(checked(truss), "simplified-analysis").values()) == {"notApplicable"}


def test_bays_that_bend_enough_count_shorter(document, checked, found, chosen):
    """A tie pressed by its supports being drawn apart is no truss; so: a top chord over three bays under tiles, with a post at each node."""
    report = checked(chosen(fan(document), "simplified"))
    general = checked(fan(document))
    assert length_of(found(general, PACK + "bending-with-compression", "TC"), "l_y") == pytest.approx(1000.0, rel=1e-6)
    assert length_of(found(report, PACK + "bending-with-compression", "TC"), "l_ef,y") in (600.0, 800.0)


def length_of(finding, symbol):
    return next(step["value"] for step in finding["working"] if step["symbol"] == symbol)


def fan(document):
    """A flat truss 3 m long and 1.5 m high, its top chord in one piece over four nodes under 3 kN/m."""
    section = {"b_mm": 47, "h_mm": 97}
    top = [f"U{k}" for k in range(4)]
    nodes = [{"id": name, "x_mm": 1000.0 * k, "y_mm": 1500.0} for k, name in enumerate(top)]
    nodes += [
        {"id": "L0", "x_mm": 500.0, "y_mm": 0.0},
        {"id": "L1", "x_mm": 1500.0, "y_mm": 0.0},
        {"id": "L2", "x_mm": 2500.0, "y_mm": 0.0},
    ]
    webs = [("U0", "L0"), ("L0", "U1"), ("U1", "L1"), ("L1", "U2"), ("U2", "L2"), ("L2", "U3")]
    members = [
        {"id": "TC", "role": "top-chord", "nodes": top, "section": section, "grade": "C24"},
        {"id": "BC", "role": "bottom-chord", "nodes": ["L0", "L1", "L2"], "section": section, "grade": "C24"},
        *({"id": f"W{k}", "role": "web", "nodes": list(ends), "section": section, "grade": "C24"} for k, ends in enumerate(webs)),
    ]
    load = {"member": "TC", "line_kn_per_m": 3.0, "along": "member", "direction": "down"}
    seat = {"on": "masonry", "length_mm": 100, "member": "TC"}
    return document | {
        "component_type": "trussed-rafter",
        "nodes": nodes,
        "members": members,
        "supports": [
            {"id": "SA", "node": "U0", "holds": ["x", "y"], "seat": seat},
            {"id": "SB", "node": "U3", "holds": ["y"], "seat": seat},
        ],
        "actions": [{"id": "g", "nature": "permanent", "loads": [load]}],
    }


@pytest.mark.parametrize("factor", [0.25, 2.0, 7.0])
def test_forces_grow_with_the_load(king_post, checked, factor, chosen):
    one, more = (checked(chosen(king_post(q=q), "simplified")) for q in (1.0, factor))
    for member, what, end in (("T", "m", "min"), ("T", "n", "max"), ("R1", "n", "min")):
        assert envelope(more, member, what, end) == pytest.approx(factor * envelope(one, member, what, end), rel=1e-9)


@pytest.mark.parametrize("rule", ["bending", "tension", "bending-with-tension"])
def test_more_load_uses_more(king_post, checked, found, rule, chosen):
    used = [found(checked(chosen(king_post(q=q), "simplified")), PACK + rule, "T")["utilisation"] for q in (0.2, 0.5, 1.0, 2.0)]
    assert used == sorted(used)
    assert len(set(used)) == len(used)


def test_lessened_moments_keep_every_bay_in_balance_and_spare_what_an_overhang_hangs_on(library):
    """V stays the slope of M, N stays, M over inner nodes is nine tenths, over the bearing of an overhang it is whole, at ends it is nothing."""
    frame = prepare(load(read_design("fink")), library, datetime.date(2026, 11, 25))
    before, after = frame.response, lessened(frame.response, frame.geometry, 0.1)
    layout = before.layout
    assert np.array_equal(after.n, before.n)
    change, along = after.m - before.m, layout.inside
    for number in range(int(layout.number.max()) + 1):
        (here,) = np.nonzero(layout.number == number)
        slope = (change[:, here[-1]] - change[:, here[0]]) / (along[here[-1]] - along[here[0]])
        assert (after.v - before.v)[:, here] == pytest.approx(np.repeat(slope[:, None], len(here), axis=1), abs=1e-9)
    first, last = layout.edges
    eaves, inner, free = first[1], first[2], last[0]  # of the left rafter: tail, bay over the eaves, bay beyond the node half-way up
    assert after.m[:, [eaves, free]] == pytest.approx(before.m[:, [eaves, free]], rel=1e-12)
    assert after.m[:, inner] == pytest.approx(0.9 * before.m[:, inner], rel=1e-12)


def test_the_moments_of_a_tie_of_unequal_bays_are_those_of_clapeyron(king_post, checked, chosen):
    """Own, no published example of this analysis having been found: Clapeyron's equation of three moments solved by SciPy for bays of 1.7, 1.8 and
    1.5 m under 1 kN/m, a tenth taken off over the nodes; the webs carry the reactions of the beam on firm supports up to the apex."""
    truss, bays = king_post(), np.array([1.7, 1.8, 1.5])
    places = {"A": (0, 0), "D": (1700, 0), "E": (3500, 0), "B": (5000, 0), "C": (2600, 1500)}
    (tie,) = (member for member in truss["members"] if member["id"] == "T")
    pieces = {"R1": ("rafter", "AC"), "R2": ("rafter", "BC"), "T": ("ceiling-tie", "ADEB"), "W1": ("web", "DC"), "W2": ("web", "EC")}
    truss |= {
        "nodes": [{"id": name, "x_mm": x, "y_mm": y} for name, (x, y) in places.items()],
        "members": [tie | {"id": name, "role": role, "nodes": list(nodes)} for name, (role, nodes) in pieces.items()],
    }
    between = np.array([[2.0 * (bays[0] + bays[1]), bays[1]], [bays[1], 2.0 * (bays[1] + bays[2])]])
    over = linalg.solve(between, -(bays[:-1] ** 3 + bays[1:] ** 3) / 4.0, assume_a="pos")
    whole, less = np.array([0.0, *over, 0.0]), 0.9 * np.array([0.0, *over, 0.0])
    shear = bays / 2.0 + np.diff(whole) / bays
    up = shear[1:] + bays[:-1] - shear[:-1]
    peaks = less[:-1] + (bays / 2.0 + np.diff(less) / bays) ** 2 / 2.0
    report = checked(chosen(truss, "simplified"))
    assert envelope(report, "T", "m", "min") == pytest.approx(G * less.min(), rel=1e-4)
    assert envelope(report, "T", "m", "max") == pytest.approx(G * peaks.max(), rel=3e-3), "between stations the peak is a little higher"
    for name, foot, reaction in (("W1", "D", up[0]), ("W2", "E", up[1])):
        long = math.dist(places[foot], places["C"])
        assert envelope(report, name, "n", "max") == pytest.approx(G * reaction * long / 1500.0, rel=1e-4)
