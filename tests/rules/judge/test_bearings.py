"""Bearings, straps and hangers: what is needed, found and declared, both ways; nothing passes by a figure that is not said in full."""

from __future__ import annotations

import json

import pytest

from service.demo import read_design

DOWN = {"along": "member", "direction": "down"}
GIVEN = {"kn": 15.0, "basis": "characteristic", "gamma_m": 1.3, "k_mod": "applies", "document": "declaration 31"}
DESIGN = {"kn": 3.0, "basis": "design", "document": "declaration 31"}


@pytest.fixture
def joist(bar):
    """A joist of 4 m, 2 kN/m of floor load for a medium time: 6 kN down at each end; 0.5 kN/m lifts it in a gale."""

    def make(seat=None, hanger=None, strap=None, gale=0.0, **more):
        loads = [
            {
                "id": "floor",
                "nature": "imposed",
                "category": "A",
                "duration": "medium",
                "loads": [{"member": "M", "line_kn_per_m": 2.0, **DOWN}],
            }
        ]
        if gale:
            lift = {"member": "M", "line_kn_per_m": gale, "along": "member", "direction": "up"}
            loads.append({"id": "gale", "nature": "wind", "loads": [lift]})
        frame = bar(4000, {"b_mm": 47, "h_mm": 195}, actions=loads, **more)
        for support in frame["supports"]:
            support["seat"] = seat or {"on": "hanger", "length_mm": 75}
            support |= {"held_down_by": strap} if strap else {}
        if hanger:
            frame["hangers"] = [{"id": f"H{n}", "support": f"S{n}", "declared_per": "hanger", **hanger} for n in (1, 2)]
        return frame

    return make


def test_a_hanger_by_hand(joist, checked, found):
    """0.8 x 15 / 1.3 = 9.23 kN against 6 kN."""
    hanger = found(checked(joist(hanger={"down": GIVEN})), "eurocode-timber/hanger", "S1")
    assert hanger["kind"] == "pass"
    assert hanger["demand"]["value"] == pytest.approx(6.0)
    assert hanger["limit"]["value"] == pytest.approx(0.8 * 15 / 1.3)


def test_a_pair_is_two_hangers(joist, checked, found):
    hanger = found(checked(joist(hanger={"down": GIVEN, "declared_per": "pair"})), "eurocode-timber/hanger", "S1")
    assert (hanger["kind"], hanger["limit"]["value"]) == ("fail", pytest.approx(0.8 * 7.5 / 1.3))


def test_steel_that_governs_does_not_fall_with_duration(joist, checked, found):
    hanger = found(checked(joist(hanger={"down": {**GIVEN, "k_mod": "none"}})), "eurocode-timber/hanger", "S1")
    assert hanger["limit"]["value"] == pytest.approx(15 / 1.3)


OPEN = {
    "no hanger given": None,
    "nobody says what it carries": {},
    "nobody says whether it is one or a pair": {"down": GIVEN, "declared_per": None},
    "nobody says how it is meant": {"down": {"kn": 15.0}},
    "no partial factor": {"down": {**GIVEN, "gamma_m": None}},
    "nothing of the duration": {"down": {**GIVEN, "k_mod": None}},
    "made up": {"down": {**GIVEN, "invented": True}},
}


@pytest.mark.parametrize("hanger", OPEN.values(), ids=OPEN)
def test_a_hanger_that_is_not_declared_in_full_is_open(joist, checked, found, hanger):
    finding = found(checked(joist(hanger=hanger)), "eurocode-timber/hanger", "S1")
    assert finding["kind"] == "open"
    assert "Which hanger is it" in finding["message"]


def test_hangers_that_are_judged_are_no_longer_asked_for_as_joints(joist, checked):
    joints = [f for f in checked(joist(hanger={"down": GIVEN}))["findings"] if f["rule"] == "engine/unjudged-joints"]
    assert not joints


def test_uplift_of_a_hanger_is_judged_by_what_holds_upwards(joist, checked, found):
    """1.5 x 0.5 x 4 / 2 = 1.5 kN up; 3 kN of the hanger hold it, 3 kN a pair do so just."""
    report = checked(joist(gale=0.5, hanger={"down": GIVEN, "up": DESIGN}))
    held = found(report, "eurocode-timber/holding-down", "S1")
    assert (held["kind"], held["limit"]["value"]) == ("pass", pytest.approx(3.0))
    pair = checked(joist(gale=0.5, hanger={"down": GIVEN, "up": {**DESIGN, "kn": 2.9}, "declared_per": "pair"}))
    assert found(pair, "eurocode-timber/holding-down", "S1")["kind"] == "fail"
    without = checked(joist(gale=0.5, hanger={"down": GIVEN}))
    assert found(without, "eurocode-timber/holding-down", "S1")["kind"] == "open"


@pytest.mark.parametrize(("bearings", "kind"), [(1, "pass"), (2, "pass"), (3, "fail"), (None, "open")])
def test_a_strap_is_shared_by_the_bearings_it_holds(joist, checked, found, bearings, kind):
    strap = {"what": "strap", "bearings": bearings, "capacity": DESIGN}
    report = checked(joist(seat={"on": "masonry", "length_mm": 100}, strap=strap, gale=0.5))
    assert found(report, "eurocode-timber/holding-down", "S1")["kind"] == kind


def test_what_was_found_on_site_counts_where_it_is_less(joist, checked, found):
    seat = {"on": "masonry", "length_mm": 100}
    measured = [{"support": "S1", "bearing_mm": 40}, {"support": "S2", "bearing_mm": 120}]
    report = checked(joist(seat=seat) | {"as_built": {"at_supports": measured}})
    plain = checked(joist(seat=seat))
    used = [found(each, "eurocode-timber/bearing", "S1", part="member")["utilisation"] for each in (plain, report)]
    assert used[1] == pytest.approx(used[0] * 130 / 70)
    far = [found(each, "eurocode-timber/bearing", "S2", part="member")["utilisation"] for each in (plain, report)]
    assert far[0] == pytest.approx(far[1])


def test_the_bearings_are_listed_with_the_length_they_need(joist, checked, found):
    """k_c,90 1.5, as nothing presses near: 6 kN / (47 x 1.5 x 0.8 x 2.5 / 1.3) = 55.32 mm, of which a bearing shorter than 30 mm gives
    half by spreading its own length: one of exactly that passes with nothing left."""
    report = checked(joist(seat={"on": "masonry", "length_mm": 100}))
    row = report["bearings"][0]
    assert (row["support"], row["on"], row["member"], row["status"]) == ("S1", "masonry", "M", "given")
    assert (row["down_kn"], row["up_kn"], row["bearing_mm"]) == (pytest.approx(6.0), 0.0, 100.0)
    assert row["needed_mm"] == pytest.approx(6000 / (47 * 1.5 * 0.8 * 2.5 / 1.3) / 2)
    just = checked(joist(seat={"on": "masonry", "length_mm": row["needed_mm"]}))
    assert found(just, "eurocode-timber/bearing", "S1", part="member")["utilisation"] == pytest.approx(1.0)


def test_the_plate_below_may_want_more_than_the_joist(joist, checked):
    row = checked(joist(seat={"on": "wall-plate", "length_mm": 60, "width_mm": 47, "grade": "C14"}))["bearings"][0]
    across_plate = 6000 / (0.8 * 2.0 / 1.3) / (47 + 60)
    assert row["needed_mm"] == pytest.approx(max(6000 / (47 * 1.5 * 0.8 * 2.5 / 1.3) / 2, across_plate))


def test_a_bearing_that_cannot_be_judged_is_not_shown_as_sound(joist, checked):
    row = checked(joist())["bearings"][0]
    assert row["status"] == "open"
    assert row["held_by"] is None


@pytest.mark.parametrize("at", [60, 150, 600])
def test_no_load_near_the_bearing_is_left_out_of_the_shear(bar, checked, found, at):
    """2 kN on top, 60 and 150 mm from a bearing of a joist 195 mm deep, as 600 mm: V = 1.5·2·(4000 − at)/4000, all of it."""
    load = [
        {
            "id": "q",
            "nature": "imposed",
            "category": "A",
            "duration": "medium",
            "loads": [{"member": "M", "point_kn": 2.0, "at_mm": at, "direction": "down"}],
        }
    ]
    shear = found(checked(bar(4000, {"b_mm": 47, "h_mm": 195}, actions=load)), "eurocode-timber/shear", "M")
    force = 1.5 * 2000 * (4000 - at) / 4000
    assert shear["utilisation"] == pytest.approx(1.5 * force / (0.67 * 47 * 195) / (0.8 * 4.0 / 1.3), rel=1e-6)


def test_the_bearing_spreads_only_where_timber_goes_on(bar, checked):
    """100 mm of bearing: 130 mm count at a joist's end, where it goes on to one side, and 160 where it goes on to both."""
    load = [{"id": "g", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 1.0, **DOWN}]}]
    frame = bar(4000, {"b_mm": 47, "h_mm": 195}, actions=load)
    frame["nodes"].append({"id": "C", "x_mm": 8000, "y_mm": 0})
    frame["members"][0]["nodes"] = ["A", "B", "C"]
    frame["supports"].append({"id": "S3", "node": "C", "holds": ["y"], "seat": {"on": "masonry", "length_mm": 100}})
    report = checked(frame)
    for support, length in (("S1", 130.0), ("S2", 160.0)):
        [bearing] = [
            f
            for f in report["findings"]
            if f["rule"] == "eurocode-timber/bearing" and f["where"]["support"] == support and f["part"] == "member"
        ]
        assert next(step["value"] for step in bearing["working"] if step["symbol"] == "l_ef") == length


def _ratio(report, found, part):
    return found(report, "eurocode-timber/bearing", "S1", part=part)["utilisation"]


def test_what_is_underneath_must_be_said(joist, checked, found):
    """A wall plate crushes before the joist does: a seat nobody names must not look like a wall."""
    unsaid = found(checked(joist(seat={"length_mm": 75})), "eurocode-timber/bearing", "S1", part="seat")
    assert unsaid["kind"] == "open"
    assert "supports.seat.on" in unsaid["message"]


@pytest.mark.parametrize(("seat", "mm"), [({"on": "wall-plate", "section": {"b_mm": 75, "h_mm": 50}}, 75), ({"on": "beam", "section": {"b_mm": 47, "h_mm": 220}}, 47)])  # fmt: skip
def test_a_bearing_is_no_longer_than_what_is_underneath(seat, mm, joist, checked, found):
    long, short = (checked(joist(seat={**seat, "grade": "C16", "length_mm": length})) for length in (150, mm))
    assert _ratio(long, found, "member") == pytest.approx(_ratio(short, found, "member"))
    assert _ratio(long, found, "seat") == pytest.approx(_ratio(short, found, "seat"))


@pytest.mark.parametrize(("beyond", "sides"), [(60, 1), (200, 2)])
def test_timber_helps_a_bearing_only_where_it_goes_on(beyond, sides, joist, checked, found):
    """The joist ends 60 mm beyond the middle of a bearing of 75 mm, 22.5 mm beyond its edge: 30 mm are added on the inner side only."""
    frame = joist(seat={"on": "masonry", "length_mm": 75})
    frame["nodes"].append({"id": "C", "x_mm": -beyond, "y_mm": 0})
    frame["members"][0]["nodes"] = ["C", "A", "B"]
    bearing = found(checked(frame), "eurocode-timber/bearing", "S1", part="member")
    length = next(step for step in bearing["working"] if step["symbol"] == "l_ef")
    assert length["value"] == pytest.approx(75 + 30 * sides)


def test_a_piece_that_bears_alone_and_off_its_node_turns_with_its_bearing(bar, checked):
    """1 kN/m over 3 m, the right bearing 30 mm inside and under the piece: it carries 1.5·3000/2970 kN."""
    load = [{"id": "g", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 1.0, "along": "member", "direction": "down"}]}]
    beam = bar(3000, {"b_mm": 47, "h_mm": 195}, actions=load)
    beam["supports"][1]["seat"]["offset_mm"] = [-30, -97.5]
    report = checked(beam)
    reaction = next(each for each in report["response"]["reactions"] if each["support"] == "S2")
    assert reaction["y_kn"] == pytest.approx(1.5 * 3000 / 2970, rel=1e-6)


@pytest.mark.parametrize("said", [{"uplift": "free"}, {"settlement_mm": [0, -5]}])
def test_a_bearing_that_moves_and_strains_nothing_leaves_all_in_balance(bar, checked, said):
    """A beam on two bearings feels nothing of one that is raised or sinks: what is left is round-off, beside what a held end would feel."""
    load = [{"id": "g", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 1.0, "along": "member", "direction": "down"}]}]
    beam = bar(3000, {"b_mm": 47, "h_mm": 195}, actions=load)
    beam["supports"][1] |= said
    beam["supports"][1]["seat"]["offset_mm"] = [-30, -97.5]
    report = checked(beam)
    assert report["response"]["balanced"]
    assert report["response"]["residual"] < 1e-9


@pytest.mark.parametrize(("aside", "kinds"), [(91, []), (0, []), (-50, []), (-52, ["open"]), (-91, ["open"])])
def test_a_bearing_lies_under_its_piece(aside, kinds, checked):
    """The tie of the demo truss begins at the heel, and the bearing is 100 mm long: 52 mm out from there it begins beyond the tie."""
    truss = json.loads(read_design("fink"))
    truss["supports"][0]["seat"]["offset_mm"] = [aside, -60]
    found = [each for each in checked(truss)["findings"] if each["rule"] == "engine/piece-on-its-bearing"]
    assert [each["kind"] for each in found] == kinds
    assert all(each["where"]["pointer"] == "/supports/0/seat/offset_mm" for each in found)
