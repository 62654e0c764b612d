"""Loads that are there and hold nobody up: too small for their unit, upwards, on part of a piece, from one side, kept apart."""

from __future__ import annotations

import copy
import json

import pytest

from service.demo import read_design

RULE = "engine/loads-as-meant"


@pytest.fixture
def truss():
    return json.loads(read_design("fink"))


@pytest.fixture
def joist():
    return json.loads(read_design("solid-joist"))


@pytest.fixture
def looked_at(checked):
    """The parts of the guard that ask a person to look, and the verdict."""

    def look(design):
        report = checked(design)
        return {each["part"] for each in report["findings"] if each["rule"] == RULE and each["kind"] == "review"}, report["verdict"]

    return look


def scaled(design, by, natures=None):
    for load in (load for action in design["actions"] if natures is None or action["nature"] in natures for load in action["loads"]):
        for name in ("line_kn_per_m", "point_kn"):
            if name in load:
                load[name] *= by
    return design


def kept(design, keep):
    """The design with those of its actions only, of which others speak no more."""
    design["actions"] = [action for action in design["actions"] if keep(action["id"])]
    there = {action["id"] for action in design["actions"]}
    for action in design["actions"]:
        action["never_with"] = [name for name in action.get("never_with", ()) if name in there]
    return design


def test_the_demo_designs_are_as_meant(truss, joist, looked_at):
    assert looked_at(truss) == (set(), "pass")
    assert looked_at(joist) == (set(), "pass")


def test_loads_a_thousand_times_too_small_are_looked_at(truss, joist, looked_at):
    """N and N/m written where kN are wanted the other way round: the lightest design of all."""
    assert looked_at(scaled(joist, 1e-3)) == ({"size"}, "review")
    parts, verdict = looked_at(scaled(truss, 1e-3))
    assert ("size" in parts, verdict) == (True, "review")


@pytest.mark.parametrize(
    ("slip", "part"),
    [
        ({"spacing_mm": 0.6}, "spacing"),
        ({"load_width_mm": 0.6}, "load-width"),
        ({"site": {"wind_speed_m_per_s": 0.3}}, "size"),
        ({"site": {"snow_ground_kn_per_m2": 0.0005, "snow_zone": None}}, "size"),
        (
            {"loading": {"layers": [{"what": "tiles", "kn_per_m2": 0.00065, "measured": "slope", "on": "roof"}]}},
            "size",
        ),
    ],
)
def test_a_slip_of_unit_in_what_loads_are_worked_out_from_is_looked_at(looked_at, slip, part):
    design = json.loads(read_design("by-shape"))
    for name, value in slip.items():
        design[name] = {**design[name], **value} if isinstance(value, dict) else value
    parts, verdict = looked_at(design)
    assert part in parts
    assert verdict != "pass"


def test_a_bearing_longer_than_any_wall_is_looked_at(joist, looked_at):
    joist["supports"][0]["seat"]["length_mm"] = 900
    assert looked_at(joist) == ({"seat-S1"}, "review")


def test_pieces_that_lie_on_each_other_are_looked_at(truss, looked_at):
    """The same web twice carries half the force each, and needs no bracing by the rules."""
    web = next(member for member in truss["members"] if member["id"] == "W2")
    truss["members"].append(web | {"id": "W2-again"})
    parts, verdict = looked_at(truss)
    assert "side-by-side" in parts
    assert verdict != "pass"


@pytest.mark.parametrize("slip", [{"thickness_mm": 220}, {"e_mpa": 27000}])
def test_a_deck_that_no_board_is_is_looked_at(joist, looked_at, slip):
    joist["floor"]["deck"] |= slip
    assert looked_at(joist) == ({"deck"}, "review")


def test_a_load_of_nought_is_none(joist, checked, found):
    report = checked(scaled(joist, 0.0, ("imposed",)))
    assert found(report, "engine/expected-actions", part="imposed-area")["kind"] == "open"
    assert found(report, "engine/expected-actions", part="imposed-point")["kind"] == "open"


def test_weight_that_acts_upwards_is_looked_at(joist, looked_at):
    joist["actions"][0]["loads"][0]["direction"] = "up"
    assert looked_at(joist) == ({"upwards"}, "review")


@pytest.mark.parametrize(
    ("action", "piece", "part"), [("roof-permanent", "TC2", "whole-roof-permanent"), ("snow-balanced", "TC1", "whole-snow")]
)
def test_a_roof_that_is_loaded_on_one_side_only_is_looked_at(truss, looked_at, action, piece, part):
    """With the drifted snow taken away, that fell as it falls has to lie on both slopes."""
    design = kept(truss, lambda name: "drift" not in name)
    loads = next(each for each in design["actions"] if each["id"] == action)["loads"]
    loads[:] = [load for load in loads if load["member"] != piece]
    parts, verdict = looked_at(design)
    assert part in parts
    assert verdict != "pass"


def test_halves_of_a_floor_are_no_whole_floor(joist, looked_at):
    assert looked_at(kept(joist, lambda name: name != "imposed-area")) == ({"whole-imposed-area"}, "review")
    joined = copy.deepcopy(joist)
    for action in joined["actions"]:
        action["one_of"] = None
    assert looked_at(joined)[0] == set(), "halves that may lie together are a whole"


@pytest.mark.parametrize("place", [2100, 3400])
def test_use_that_lies_in_full_or_nowhere_is_looked_at_where_a_part_is_worse(joist, checked, place):
    """Over two spans, or a span and an overhang; a load that is free, or cases of a part, are what is wanted."""
    held = kept(joist, lambda name: "half" not in name)
    parts = {each["part"] for each in checked(held)["findings"] if each["rule"] == RULE}
    assert parts == set(), "one span is bent most by the whole"
    held["nodes"].append({"id": "M", "x_mm": place, "y_mm": 0})
    held["members"][0]["nodes"] = ["J0", "A", "M", "B", "J9"]
    last = held["supports"][1]
    held["supports"] = [held["supports"][0], last | {"node": "M"}, *([last | {"id": "S3"}] if place == 2100 else [])]
    asked = {each["part"] for each in checked(held)["findings"] if each["rule"] == RULE and each["kind"] == "review"}
    assert "never-in-part" in asked
    next(action for action in held["actions"] if action["id"] == "imposed-area")["free"] = True
    assert "never-in-part" not in {each["part"] for each in checked(held)["findings"] if each["rule"] == RULE}


def test_an_open_web_joist_wants_its_halves(checked):
    joist = json.loads(read_design("open-web-joist"))
    assert not [each for each in checked(joist)["findings"] if each["rule"] == RULE]
    whole = kept(joist, lambda name: "half" not in name)
    (asked,) = (each for each in checked(whole)["findings"] if each["rule"] == RULE)
    assert (asked["part"], asked["kind"]) == ("never-in-part", "review")


def test_a_force_that_stands_at_bearings_only_is_looked_at(joist, looked_at):
    for load in (load for action in joist["actions"] for load in action["loads"] if "point_kn" in load):
        load["at_mm"] = 50
    assert looked_at(joist) == ({"between-imposed-point"}, "review")


def test_wind_that_blows_from_one_side_is_looked_at(truss, looked_at):
    parts, verdict = looked_at(kept(truss, lambda name: not name.startswith("wind-right")))
    assert (parts, verdict) == ({"wind-from-one-side"}, "review")


def test_wind_that_lifts_nothing_is_looked_at(truss, looked_at):
    pressed = kept(truss, lambda name: not name.startswith("wind") or name.endswith("pressure"))
    assert looked_at(pressed) == ({"wind-lifts-nothing"}, "review")


def test_loads_that_are_kept_apart_though_they_meet_are_looked_at(truss, looked_at):
    apart = copy.deepcopy(truss)
    apart["actions"][0]["never_with"] = ["snow-balanced"]
    assert looked_at(apart) == ({"kept-apart"}, "review")
    grouped = copy.deepcopy(truss)
    for action in grouped["actions"]:
        if action["nature"] in ("snow", "wind"):
            action["one_of"] = "weather"
    assert looked_at(grouped) == ({"kept-apart"}, "review")


def test_a_load_that_waits_for_another_kind_is_looked_at(truss, looked_at):
    snow = next(action for action in truss["actions"] if action["id"] == "snow-balanced")
    snow["needs"] = ["wind-along-ridge"]
    assert "waits-for" in looked_at(truss)[0]


def test_a_design_that_carries_nothing_is_looked_at_whatever_it_declines(joist, looked_at):
    names = {"permanent": "permanent", "imposed-area": "imposed", "imposed-point": "imposed", "partitions": "imposed"}
    joist["actions"] = [
        {"id": f"no-{name}", "nature": nature, "declines": name, "none_because": "by others"} for name, nature in names.items()
    ]
    assert looked_at(joist) == ({"nothing-permanent", "nothing-variable"}, "review")


@pytest.fixture
def attic():
    """A truss with a room in it, under the loads of a loft."""
    design = json.loads(read_design("by-shape"))
    piece = {"section": {"b_mm": 60, "h_mm": 220}, "grade": "C24"}
    pieces = dict.fromkeys(("rafter", "ceiling-tie", "post", "collar"), piece)
    design["shape"] |= {"form": "attic", "span_over_plates_mm": 8400, "room_width_mm": 4200, "room_height_mm": 2500, "pieces": pieces}
    return design | {"bracing": "none", "roof": {**design["roof"], "neighbours": []}}


def test_a_room_in_the_roof_is_no_loft(attic, checked, found):
    """Storage of 0.25 kN/m² stands where people are to live, at 1.5 kN/m²."""
    asked = found(checked(attic), "engine/expected-actions", part="room")
    assert (asked["kind"], asked["level"]) == ("open", "none")


@pytest.mark.parametrize("answer", ["lived in", "declined"])
def test_the_use_of_a_room_is_stated_or_declined(attic, checked, answer):
    if answer == "lived in":
        attic["loading"]["floor_use"] = {"category": "A"}
        attic["actions"] = [{"id": "no-wind", "nature": "wind", "declines": "wind-both-ways", "none_because": "under a glass house"}]
    else:
        attic["actions"] = [{"id": "no-room", "nature": "imposed", "declines": "room", "none_because": "a water tower: nobody gets in"}]
    assert "room" not in {each["part"] for each in checked(attic)["findings"] if each["kind"] == "open"}


@pytest.mark.parametrize(("category", "asked"), [("storage", True), ("E1", True), (None, True), ("B", False)])
def test_a_room_is_lived_in_where_the_code_says_so_of_the_category(attic, checked, category, asked):
    """What is stored under another name, or under none the code in force knows, is no life in the room."""
    use = {"member": "BC", "line_kn_per_m": 0.9, "along": "plan", "direction": "down"}
    attic["actions"] = [{"id": "use", "nature": "imposed", "category": category, "duration": "medium", "loads": [use]}]
    attic["actions"].append({"id": "no-wind", "nature": "wind", "declines": "wind-both-ways", "none_because": "under a glass house"})
    parts = {each["part"] for each in checked(attic)["findings"] if each["kind"] == "open"}
    assert ("room" in parts) is asked


def test_what_was_worked_out_to_be_none_is_not_slight(joist, looked_at):
    """A movable wall is an allowance within the load of use: the word that says so is no load of a few grams."""
    joist["actions"] = []
    layers = [{"what": "boards", "on": "floor", "kn_per_m2": 0.2, "measured": "plan"}]
    walls = [{"what": "stud wall", "kind": "movable", "weight_kn_per_m": 0.9}]
    joist["loading"] = {"layers": layers, "floor_use": {"category": "A1"}, "partitions": walls}
    assert "size" not in looked_at(joist)[0]


def test_a_force_beside_the_one_that_was_worked_out_may_stand_anywhere(joist, looked_at):
    """What a trimmer brings to a joint of the joist it is hung on is no load of use that was put where it bends nothing."""
    joist["actions"] = [{"id": "no-walls", "nature": "permanent", "declines": "partitions", "none_because": "none stand here"}]
    joist["actions"].append(
        {
            "id": "trimmer",
            "nature": "imposed",
            "category": "A1",
            "loads": [{"member": "J1", "point_kn": 1.0, "at_mm": 50, "direction": "down"}],
        }
    )
    layers = [{"what": "boards", "on": "floor", "kn_per_m2": 0.2, "measured": "plan"}]
    joist["loading"] = {"layers": layers, "floor_use": {"category": "A1"}}
    assert "between-imposed-point" not in looked_at(joist)[0]
