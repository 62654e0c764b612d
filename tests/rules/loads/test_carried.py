"""Layers, use of floors and lofts, tanks, partitions, maintenance: how large, where, how long, and what is asked."""

from __future__ import annotations

import pytest

from rules.subject.actions import LineLoad, PointLoad

TILES = {"what": "tiles", "on": "roof", "kn_per_m2": 0.785, "measured": "slope"}
TIE = {"what": "plasterboard", "on": "ceiling", "kn_per_m2": 0.2, "measured": "plan"}


def test_slope_and_plan_are_not_the_same(roof, cases):
    """0.785 kN/m² on a slope of 35° is 0.785/cos 35° = 0.958 in plan (own arithmetic); a load along the piece says so by itself."""
    import math

    load = cases(roof())["roof-permanent"].loads[0]
    assert (load.line_kn_per_m, load.along) == (0.785, "member")
    assert load.line_kn_per_m / math.cos(math.radians(35)) == pytest.approx(0.958, abs=5e-4)
    plan = cases(roof(loading={"layers": [{**TILES, "measured": "plan"}]}))["roof-permanent"].loads[0]
    assert (plan.line_kn_per_m, plan.along) == (0.785, "plan")


def test_layers_that_lie_alike_make_one_case_and_others_their_own(roof, cases):
    layers = [TILES, {**TILES, "what": "panels", "kn_per_m2": 0.15}, {**TILES, "what": "felt", "measured": "plan"}, TIE]
    found = cases(roof(loading={"layers": layers}))
    assert [name for name, action in found.items() if action.nature == "permanent"] == [
        "roof-permanent",
        "roof-permanent-2",
        "ceiling-permanent",
    ]
    assert found["roof-permanent"].loads[0].line_kn_per_m == pytest.approx(0.935)
    assert {load.member for load in found["ceiling-permanent"].loads} == {"BC"}


def test_what_is_surely_there_is_a_share_of_the_whole(roof, cases):
    layers = [{**TILES, "min_kn_per_m2": 0.6}, {**TILES, "what": "panels", "kn_per_m2": 0.15, "min_kn_per_m2": 0}]
    assert cases(roof(loading={"layers": layers}))["roof-permanent"].least_share == pytest.approx(0.6 / 0.935)
    assert cases(roof())["roof-permanent"].least_share == 1.0


def test_a_layer_may_lie_between_two_nodes(roof, cases):
    found = cases(roof(loading={"layers": [{**TILES, "from": "A", "to": "C"}]}))["roof-permanent"]
    assert {load.member for load in found.loads} == {"TC1"}


def test_a_layer_with_a_category_is_imposed(roof, cases):
    layer = {"what": "books", "on": "ceiling", "kn_per_m2": 1.0, "measured": "plan", "category": "E", "duration": "long"}
    found = cases(roof(loading={"layers": [layer]}))["ceiling-imposed"]
    assert (found.nature, found.category, found.duration) == ("imposed", "E", "long")


def test_a_layer_that_lies_on_nothing_is_asked_about(roof, worked_out):
    _, derived = worked_out(roof(loading={"layers": [{**TILES, "on": "collar"}]}))
    assert "collar-permanent" in {doubt.part for doubt in derived.doubts}


def test_the_load_width_beside_an_opening_takes_the_place_of_the_spacing(roof, cases, worked_out):
    assert cases(roof(load_width_mm=900))["roof-permanent"].loads[0].line_kn_per_m == pytest.approx(0.785 * 0.9)
    design, derived = worked_out(roof(spacing_mm=None))
    assert [doubt.part for doubt in derived.doubts] == ["load-width"]
    assert design.actions == ()


def test_a_dwelling_s_floor_by_the_kingdom_s_figures(floor, cases):
    """UK NA to BS EN 1991-1-1, from memory: A1 1.5 kN/m² and 2.0 kN. The area load is free, the concentrated one stands anywhere."""
    found = cases(floor())
    area, point = found["imposed-area"], found["imposed-point"]
    assert (area.free, area.one_of, area.loads[0].line_kn_per_m) == (True, "floor-use", pytest.approx(0.6))
    assert (point.one_of, point.loads[0].point_kn, point.loads[0].anywhere) == ("floor-use", 2.0, True)
    assert area.category == point.category == "A1"


@pytest.mark.parametrize(("country", "category", "area", "point"), [("FR", "A", 2.0, 2.0), ("FR", "C2", 4.0, 4.0), ("GB", "B", 3.0, 2.7)])
def test_other_uses_and_countries(country, category, area, point, floor, cases):
    found = cases(floor(site={"country": country}, loading={"floor_use": {"category": category}}))
    assert found["imposed-area"].loads[0].line_kn_per_m == pytest.approx(0.4 * area)
    assert found["imposed-point"].loads[0].point_kn == point


def test_a_use_no_pack_knows_is_asked_about_unless_the_figures_are_given(floor, worked_out, cases):
    _, derived = worked_out(floor(loading={"floor_use": {"category": "dance"}}))
    assert [doubt.part for doubt in derived.doubts] == ["imposed-area"]
    found = cases(floor(loading={"floor_use": {"category": "C4", "kn_per_m2": 5, "point_kn": 3.6}}))
    assert (found["imposed-area"].loads[0].line_kn_per_m, found["imposed-point"].loads[0].point_kn) == (2.0, 3.6)


@pytest.mark.parametrize(("weight", "allowance"), [(0.9, 0.5), (1.0, 0.5), (1.01, 0.8), (2.5, 1.2)])
def test_movable_walls_are_part_of_the_floor_s_use(weight, allowance, floor, worked_out, cases):
    """EN 1991-1-1, 6.3.1.2(8): one action with the imposed load, which a combination factor must not reduce by itself."""
    walls = [{"what": "stud wall", "kind": "movable", "weight_kn_per_m": weight}]
    document = floor(loading={"partitions": walls})
    found = cases(document)
    assert found["imposed-area"].loads[0].line_kn_per_m == pytest.approx(0.4 * (1.5 + allowance))
    assert found["imposed-point"].loads[0] == LineLoad("J1", pytest.approx(0.4 * allowance), "down", "plan")
    design, _ = worked_out(document)
    assert next(action for action in design.actions if action.declines == "partitions").none_because


def test_heavy_walls_have_to_stand_somewhere(floor, worked_out, cases):
    _, derived = worked_out(floor(loading={"partitions": [{"what": "brick", "kind": "movable", "weight_kn_per_m": 3.1}]}))
    assert [doubt.part for doubt in derived.doubts] == ["partitions"]
    fixed = [
        {"what": "brick", "kind": "fixed", "weight_kn_per_m": 3.1, "at_x_mm": 1500},
        {"what": "stud", "kind": "fixed", "weight_kn_per_m": 0.6},
    ]
    found = cases(floor(loading={"partitions": fixed}))
    assert found["partitions"].loads == (PointLoad("J1", 1500.0, pytest.approx(1.24), direction="down"),)
    assert found["partitions-2"].loads[0].line_kn_per_m == 0.6
    assert found["partitions"].nature == "permanent"


def test_storage_in_a_loft_lies_on_any_part_of_the_ties(roof, cases):
    """EN 1991-1-1 6.2.1(1): an imposed load of one storey is a free action (Steel Buildings in Europe, Multi-storey buildings, Part 3,
    https://infosteel.be/images/Steel-Buildings-in-Europe/MSB03/19), as the area load of a roof is where no annex lays it on the whole."""
    assert cases(roof(loading={"loft": "storage"}))["ceiling-imposed-area"].free
    assert not cases(roof())["maintenance-area"].free
    france = {"country": "FR", "snow_zone": None, "snow_ground_kn_per_m2": 0.65, "snow_ground_edition": "annex"}
    assert cases(roof(site=france))["maintenance-area"].free


def test_a_published_load_take_down_of_a_joist(floor, cases, checked):
    """TRADA, Eurocode 5 worked examples, F3 (https://ru.scribd.com/document/317446760/F3-Floor-Joists): 47 × 195 of C24 at 600 mm over 3.6 m,
    0.40 kN/m² of deck and ceiling, 1.50 kN/m² of use: self-weight 0.038, permanent 0.240 and 0.278 with it, use 0.900 kN/m."""
    section = {"section": {"b_mm": 47, "h_mm": 195}, "grade": "C24"}
    loading = {
        "layers": [{"what": "decking, ceiling", "on": "floor", "kn_per_m2": 0.40, "measured": "plan"}],
        "floor_use": {"category": "A1"},
    }
    document = floor(spacing_mm=600, loading=loading, shape={"clear_span_mm": 3550, "bearing_mm": 50, "pieces": {"joist": section}})
    found = cases(document)
    assert found["floor-permanent"].loads[0].line_kn_per_m == pytest.approx(0.240)
    assert found["imposed-area"].loads[0].line_kn_per_m == pytest.approx(0.900)
    reactions = [each for each in checked(document)["response"]["reactions"] if each["action"] == "self-weight"]
    own = sum(each["y_kn"] for each in reactions) / 3.6
    assert own == pytest.approx(0.038, abs=5e-4)
    assert 0.240 + own == pytest.approx(0.278, abs=5e-4)


def test_a_loft_and_who_enters_it(roof, cases):
    found = cases(roof(loading={"loft": "storage"}))
    stored, person = found["ceiling-imposed-area"], found["ceiling-imposed-person"]
    assert stored.loads[0].line_kn_per_m == pytest.approx(0.25)
    assert (stored.category, person.category) == ("loft", "ceiling-person")
    assert person.loads == (PointLoad("BC", None, 0.9, direction="down", anywhere=True),)
    winds = {name for name, action in found.items() if action.nature == "wind"}
    assert set(person.never_with) == winds | {"maintenance-person"}
    other = cases(roof(loading={"loft": {"kn_per_m2": 0.5}}))
    assert other["ceiling-imposed-area"].loads[0].line_kn_per_m == pytest.approx(0.5)
    assert other["ceiling-imposed-person"].loads[0].point_kn == 0.9


def test_a_tank_stands_where_it_is_said_to(roof, cases, worked_out):
    """260 l · 9.81 N, a fifth more for tank and platform, over two trusses at two places of each: 0.765 kN (own arithmetic)."""
    tank = {"what": "tank", "litres": 260, "over": 2, "at_x_mm": [3000, 3600]}
    found = cases(roof(loading={"tanks": [tank, {"what": "boiler", "kn": 1.2, "over": 1, "at_x_mm": [4200]}]}))
    assert [load.point_kn for load in found["tank"].loads] == [pytest.approx(1.2 * 0.63765)] * 2
    assert [load.at_mm for load in found["tank"].loads] == [3000.0, 3600.0]
    assert found["tank-2"].loads[0].point_kn == 1.2
    assert (found["tank"].nature, found["tank"].category) == ("imposed", "tank")
    _, derived = worked_out(roof(loading={"tanks": [{**tank, "at_x_mm": [9500]}]}))
    assert "tank" in {doubt.part for doubt in derived.doubts}


@pytest.mark.parametrize(("pitch", "area"), [(20, 0.6), (30, 0.6), (35, 0.5), (45, 0.3)])
def test_maintenance_by_pitch_in_the_kingdom(pitch, area, roof, cases):
    """UK NA to BS EN 1991-1-1, from memory: 0.6 to 30°, 0.6·(60 - α)/30 to 60°; 0.9 kN anywhere on the rafters, one or the other."""
    found = cases(roof(shape={"pitch_deg": pitch}))
    assert [load.line_kn_per_m for load in found["maintenance-area"].loads] == [pytest.approx(area)] * 2
    assert {load.member for load in found["maintenance-person"].loads} == {"TC1", "TC2"}
    assert {found[name].one_of for name in ("maintenance-area", "maintenance-person")} == {"maintenance"}


def test_too_steep_to_work_on_leaves_the_person(roof, cases):
    found = cases(roof(shape={"pitch_deg": 65}))
    assert "maintenance-area" not in found
    assert found["maintenance-person"].loads[0].point_kn == 0.9


def test_an_attic_s_floor_is_its_tie(cases, roof):
    pieces = {role: {"section": {"b_mm": 47, "h_mm": 197}, "grade": "C24"} for role in ("rafter", "ceiling-tie", "post", "collar")}
    shape = {"form": "attic", "pitch_deg": 45, "room_width_mm": 4000, "room_height_mm": 2400, "pieces": pieces}
    loading = {"layers": [{**TIE, "on": "collar"}], "floor_use": {"category": "A1", "from": "F1", "to": "F2"}}
    found = cases(roof(shape=shape, loading=loading))
    assert {load.member for load in found["collar-permanent"].loads} == {"CO"}
    room = found["imposed-area"].loads[0]
    assert (room.member, room.to_mm - room.from_mm) == ("BC", pytest.approx(4000.0, abs=0.01))


def test_with_its_platform_a_tank_of_230_litres_weighs_450_newtons_a_node(roof, cases):
    """What trussed rafters are made for: 0.45 kN at each of two nodes of three trusses (common practice); water alone is a sixth less."""
    tank = {"what": "tank", "litres": 230, "over": 3, "at_x_mm": [3000, 3600]}
    assert cases(roof(loading={"tanks": [tank]}))["tank"].loads[0].point_kn == pytest.approx(0.45, abs=0.005)


def test_a_layer_of_use_on_a_floor_comes_and_goes_like_its_use(floor, cases):
    """EN 1991-1-1, 6.2.1(1): imposed load of a floor is free, however it is written down."""
    layers = [{"what": "use", "on": "floor", "kn_per_m2": 1.5, "measured": "plan", "category": "A1"}, {"what": "deck", "on": "floor", "kn_per_m2": 0.2, "measured": "plan"}]  # fmt: skip
    found = cases(floor(loading={"layers": layers}))
    assert found["floor-imposed"].free
    assert not found["floor-permanent"].free


def test_weight_that_may_be_less_is_told_where_it_holds_a_roof_down(roof, floor, worked_out):
    light = {"what": "tiles", "on": "roof", "kn_per_m2": 0.785, "measured": "slope", "min_kn_per_m2": 0.7}
    told = {each.pointer: each.value for each in worked_out(roof())[1].assumptions}
    assert told["/loading/layers"] == ["tiles"]
    for stated in (roof(loading={"layers": [light]}), floor()):
        assert "/loading/layers" not in {each.pointer for each in worked_out(stated)[1].assumptions}


def test_what_stands_on_a_roof_while_building_is_maintenance_or_that(roof, cases):
    """1.0 kN/m² in plan, components a metre apart: 1.0 kN/m in plan on both rafters, for a short time, never beside maintenance."""
    assert "erection" not in cases(roof())
    loading = {"erection": "usual"}
    found = cases(roof(loading=loading))
    erection = found["erection"]
    assert [(load.line_kn_per_m, load.along, load.direction) for load in erection.loads] == [(1.0, "plan", "down")] * 2
    assert (erection.nature, erection.duration, erection.one_of) == ("roof-imposed", "short", found["maintenance-area"].one_of)
    heavier = cases(roof(loading={"erection": {"kn_per_m2": 1.5}}))["erection"]
    assert [load.line_kn_per_m for load in heavier.loads] == [1.5, 1.5]


def test_what_stands_on_a_floor_while_building_stands_in_place_of_its_use(floor, cases, worked_out):
    found = cases(floor(loading={"erection": "usual"}))
    assert found["erection"].loads[0].line_kn_per_m == pytest.approx(0.4)
    assert (found["erection"].one_of, found["erection"].free) == (found["imposed-area"].one_of, True)
    _, derived = worked_out(floor(loading={"erection": "usual", "floor_use": None}))
    assert next(doubt for doubt in derived.doubts if doubt.part == "erection").pointer == "/loading/floor_use"


def test_a_component_carries_at_least_half_its_spacing(roof, worked_out):
    """Beside a gable half the spacing, elsewhere more: a tenth of it is a slip that takes nine tenths of the load away."""
    for width, asked in ((100, True), (499, True), (500, False), (1200, False)):
        _, derived = worked_out(roof(load_width_mm=width))
        assert ("load-width" in {doubt.part for doubt in derived.doubts}) == asked
