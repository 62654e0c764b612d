"""From accepted values to the design: every field arrives where the rules look for it, and nothing is added on the way."""

import dataclasses
import datetime
from typing import Any

import pytest

from rules.subject.actions import Action, LineLoad, NodeLoad, PointLoad
from rules.subject.design import Codes, Declined, Design, Parameter, Waiver
from rules.subject.fastening import Fasteners
from rules.subject.frame import (
    Cut,
    DeclaredCapacity,
    Member,
    Node,
    Prism,
    Rectangle,
    Restraints,
    Seat,
    Settlement,
    Springs,
    Support,
    Treatment,
)
from rules.subject.holding import Anchor, AsBuilt, Bracing, Hanger, HangerGap, Nails, Strap, Strength
from rules.subject.material import Material
from rules.subject.site import Building, Deck, Floor, Roof, Site
from service.schemas import to_design

Document = dict[str, Any]


@pytest.fixture
def everything() -> Document:
    """A document that states every field there is."""
    return {
        "format": "birdsmouth-design-1", "reference": "X-1", "title": "All of it", "component_type": "trussed-rafter",
        "count": 12, "spacing_mm": 600, "load_width_mm": 900, "overall_length_mm": 4192, "self_weight": False,
        "site": {
            "country": "GB", "subdivision": "GB-ENG", "district": "Exampleton", "parish": "Upper", "postcode": "EX1", "latitude_deg": 51.5,
            "longitude_deg": -1, "altitude_m": 80, "snow_zone": 3, "snow_ground_kn_per_m2": 0.6, "snow_ground_edition": "2007",
            "wind_speed_m_per_s": 22, "terrain": "country", "service_class": 2, "hill_factor": 1.1,
        },
        "roof": {"ridge_height_m": 8, "eaves_height_m": 5, "building_length_m": 12, "building_width_m": 8, "pitch_deg": 35, "ceiling": "brittle", "bracing_by": "standard", "exposed": False, "wall_run_m": 8.4, "tank_litres": 230, "tank_trusses": 3, "openings": "dominant", "opening_times_others": 2.5, "hipped": True},
        "floor": {"width_mm": 4200, "deck": {"what": "boards", "thickness_mm": 22, "e_mpa": 8000}, "transverse_stiffness_nm2_per_m": 2400, "ceiling": "none", "strutting_rows": 1, "noggin_rows": 0},
        "codes": {
            "packs": ["eurocode-timber==2004+A2:2014@1.1.0"], "as_of": "2026-11-25", "parameters": {"gamma_m": {"value": 1.3, "reason": "agreed"}},
            "levels": {"workshop-practice/slender-web": "note"},
        },
        "nodes": [{"id": "A", "x_mm": 0, "y_mm": 0}, {"id": "B", "x_mm": 2000, "y_mm": 0}, {"id": "C", "x_mm": 4000, "y_mm": 0}],
        "members": [
            {
                "id": "M", "role": "joist", "nodes": ["A", "B", "C"], "section": {"b_mm": 47, "h_mm": 220}, "grade": "C24", "plies": 2,
                "ends": {"start": "rigid", "end": {"knm_per_rad": 12.5}}, "offset_mm": {"start": [0, 40], "end": [1, 2]},
                "restraint_spacing": {"in_plane_mm": "none", "out_of_plane_mm": 400, "top_edge_mm": 300, "bottom_edge_mm": None},
                "treatment": {"against": ["insects"], "standard": "BS 8417", "class": "UC2", "reference": "c"},
                "holes": [{"at_mm": 500, "depth_mm": 20}], "notches": [{"at_mm": 50, "depth_mm": 10, "face": "lower", "length_mm": 100, "taper": 4}],
            },
            {
                "id": "W", "role": "web", "nodes": ["A", "C"], "grade": "metal", "treatment": "none",
                "section": {
                    "area_mm2": 120, "second_moment_mm4": 2100, "modulus_mm3": 150,
                    "declared": {"tension_kn": 9, "compression_kn": 6, "basis": "characteristic", "gamma_m": 1.25, "k_mod": "none", "document": "d", "invented": True},
                },
            },
        ],
        "supports": [
            {
                "id": "S1", "node": "A", "holds": ["x"], "springs": {"y_kn_per_mm": 4, "rotation_knm_per_rad": 20}, "inclined_deg": 5,
                "settlement_mm": [1, -2], "uplift": "free", "thrust_by": "ring beam",
                "seat": {
                    "on": "wall-plate", "length_mm": 100, "width_mm": 47, "offset_mm": [0, -60], "grade": "C16",
                    "section": {"b_mm": 100, "h_mm": 50}, "gap_specified_mm": 3, "member": "M", "horn_mm": 25,
                },
            },
            {"id": "S2", "node": "C", "holds": ["y"], "springs": {"x_kn_per_mm": 1}, "seat": {"on": "hanger"}, "held_down_by": {"what": "strap", "bearings": 2, "capacity": {"kn": 8}}},
        ],
        "actions": [
            {
                "id": "G", "nature": "permanent", "category": "k", "duration": "long", "one_of": "g", "never_with": ["Q"], "free": False,
                "loads": [
                    {"member": "M", "line_kn_per_m": 1, "line_end_kn_per_m": 2, "along": "member", "direction": "suction", "face": "upper", "from_mm": 1, "to_mm": 9},
                    {"member": "M", "point_kn": 1, "at_mm": 7, "direction": "pressure", "face": "lower", "anywhere": False},
                    {"member": "M", "moment_knm": -1, "at_mm": 8},
                    {"node": "B", "x_kn": 1, "y_kn": -2, "moment_knm": 3},
                ],
            },
            {"id": "Q", "nature": "imposed", "loads": [{"node": "B", "y_kn": -1}]},
            {"id": "P", "nature": "imposed", "needs": ["Q"], "loads": [{"node": "B", "y_kn": -1}]},
            {"id": "W", "nature": "wind", "declines": "wind", "none_because": "indoors"},
        ],
        "materials": {
            "marking": "piece",
            "grades": [{
                "id": "L", "kind": "lvl", "tradition": "en", "f_m_k_mpa": 44, "f_t_0_k_mpa": 35, "f_t_90_k_mpa": 0.8, "f_c_0_k_mpa": 36,
                "f_c_90_k_mpa": 6, "f_v_k_mpa": 4.2, "e_0_mean_mpa": 13800, "e_0_05_mpa": 11600, "g_mean_mpa": 600, "rho_k_kg_per_m3": 480,
                "rho_mean_kg_per_m3": 510, "softwood": True, "invented": True,
            }],
        },
        "bracing": [{
            "id": "B", "kind": "batten", "members": ["M"], "edge": "top", "from_mm": 0, "to_mm": 4000, "spacing_mm": 345, "rows": 2,
            "section": {"b_mm": 50, "h_mm": 25}, "fixing": "nails", "anchored_to": "gable", "grade": "C16", "angle_deg": 40,
            "nails": {"count": 2, "diameter_mm": 3.35, "length_mm": 65}, "anchors": 3,
            "fixing_capacity": {"kn": 0.9, "stiffness_kn_per_mm": 1, "basis": "characteristic", "gamma_m": 1.3, "k_mod": "applies", "document": "d"},
            "anchor_capacity": {"kn": 2, "basis": "design", "invented": True},
        }, {
            "id": "D", "kind": "diagonal",
            "anchor": {
                "fasteners": {"kind": "bolt", "count": 2, "diameter_mm": 12, "length_mm": 140, "plate_mm": 3}, "section": {"b_mm": 50, "h_mm": 100},
                "grade": "C18", "grain": "along", "rest_capacity": {"kn": 5},
            },
        }],
        "hangers": [{"id": "H", "support": "S2", "fixed": "face", "declared_per": "pair", "down": {"kn": 9}, "up": {"kn": 3}}],
        "building": {"use": "house", "storeys": 2},
        "joints": {"none_because": "by others"},
        "as_built": {"clear_width_mm": 3900, "at_supports": [{"support": "S1", "gap_mm": 4, "bearing_mm": 88}], "bow_mm": 8, "out_of_plumb_mm": 12},
        "waivers": [{
            "rule": "a/b", "element": {"kind": "member", "id": "M"}, "part": "bay", "reason": "r", "approved_by": "a", "expires": "2027-03-31",
            "up_to_utilisation": 1.05, "subject": "sha256:" + "0" * 64,
        }],
        "baseline": ["0123456789abcdef"],
    }  # fmt: skip


def test_every_field_arrives(everything: Document) -> None:
    design = to_design(everything)
    assert dataclasses.replace(design, digest="", subject_digest="") == Design(
        reference="X-1", component_type="trussed-rafter", title="All of it", count=12, spacing_mm=600.0, load_width_mm=900.0, overall_length_mm=4192.0, self_weight=False,
        nodes=(Node("A", 0.0, 0.0), Node("B", 2000.0, 0.0), Node("C", 4000.0, 0.0)),
        members=(
            Member(
                "M", "joist", ("A", "B", "C"), Rectangle(47.0, 220.0), "C24", 2, "rigid", 12.5, (0.0, 40.0), (1.0, 2.0),
                Restraints("none", 400.0, 300.0, None), Treatment(("insects",), "BS 8417", "UC2", "c"), (Cut(500.0, 20.0),), (Cut(50.0, 10.0, "lower", 100.0, 4.0),),
            ),
            Member("W", "web", ("A", "C"), Prism(120.0, 2100.0, 150.0, DeclaredCapacity(9.0, 6.0, "characteristic", 1.25, "none", "d", True)), "metal", treatment="none"),
        ),
        supports=(
            Support(
                "S1", "A", ("x",), Springs(None, 4.0, 20.0), 5.0, Settlement(1.0, -2.0), "free",
                Seat("wall-plate", 100.0, 47.0, (0.0, -60.0), "C16", Rectangle(100.0, 50.0), 3.0, "M", 25.0), "ring beam",
            ),
            Support("S2", "C", ("y",), Springs(1.0), seat=Seat("hanger"), held_down_by=Strap("strap", 2, Strength(8.0))),
        ),
        site=Site("GB", "GB-ENG", "Exampleton", "Upper", "EX1", 51.5, -1.0, 80.0, 3.0, 0.6, "2007", 22.0, "country", 2, hill_factor=1.1),
        roof=Roof(8.0, 5.0, 12.0, 8.0, 35.0, "brittle", "standard", False, 8.4, 230.0, 3, openings="dominant", opening_times_others=2.5, hipped=True),
        floor=Floor(4200.0, Deck("boards", 22.0, 8000.0), 2400.0, "none", 1, 0),
        codes=Codes(
            ("eurocode-timber==2004+A2:2014@1.1.0",), datetime.date(2026, 11, 25), (Parameter("gamma_m", 1.3, "agreed"),),
            {"workshop-practice/slender-web": "note"},
        ),
        actions=(
            Action("G", "permanent", "k", "long", "g", ("Q",), (), False, (
                LineLoad("M", 1.0, "suction", "member", 2.0, "upper", 1.0, 9.0), PointLoad("M", 7.0, 1.0, None, "pressure", "lower"),
                PointLoad("M", 8.0, None, -1.0), NodeLoad("B", 1.0, -2.0, 3.0),
            )),
            Action("Q", "imposed", loads=(NodeLoad("B", 0.0, -1.0),)),
            Action("P", "imposed", needs=("Q",), loads=(NodeLoad("B", 0.0, -1.0),)),
            Action("W", "wind", declines="wind", none_because="indoors"),
        ),
        materials=(
            Material(
                "L", "lvl", "en",
                {
                    "f_m_k_mpa": 44.0, "f_t_0_k_mpa": 35.0, "f_t_90_k_mpa": 0.8, "f_c_0_k_mpa": 36.0, "f_c_90_k_mpa": 6.0, "f_v_k_mpa": 4.2,
                    "e_0_mean_mpa": 13800.0, "e_0_05_mpa": 11600.0, "g_mean_mpa": 600.0, "rho_k_kg_per_m3": 480.0, "rho_mean_kg_per_m3": 510.0,
                },
                True, invented=True,
            ),
        ),
        marking="piece",
        bracing=(Bracing("B", "batten", ("M",), "top", 0.0, 4000.0, 345.0, 2, (50.0, 25.0), "nails", "gable", "C16", 40.0, Nails(2, 3.35, 65.0),
            Strength(0.9, 1.0, "characteristic", 1.3, "applies", "d"), anchors=3, anchor_capacity=Strength(2.0, basis="design", invented=True)),
            Bracing("D", "diagonal", anchor=Anchor(Fasteners("bolt", 2, 12.0, 140.0, plate_mm=3.0), (50.0, 100.0), "C18", "along", Strength(5.0)))),
        joints=Declined("by others"),
        hangers=(Hanger("H", "S2", "face", "pair", Strength(9.0), Strength(3.0)),),
        building=Building("house", 2),
        as_built=AsBuilt(3900.0, (HangerGap("S1", 4.0, 88.0),), 8.0, 12.0),
        waivers=(Waiver("a/b", "member", "M", "bay", "r", "a", datetime.date(2027, 3, 31), 1.05, "sha256:" + "0" * 64),),
        baseline=("0123456789abcdef",),
    )  # fmt: skip


def test_what_is_not_stated_is_left_as_the_design_has_it(roof: Document) -> None:
    for part in ("title", "spacing_mm", "site", "actions"):
        del roof[part]
    design = to_design(roof)
    stated = {"reference", "component_type", "nodes", "members", "supports", "digest", "subject_digest"}
    for field in dataclasses.fields(Design):
        if field.name not in stated:
            assert getattr(design, field.name) == (field.default_factory() if callable(field.default_factory) else field.default)


@pytest.mark.parametrize(
    ("given", "built"), [("none", "none"), ([], ()), ({"none_because": "by others"}, Declined("by others")), (None, None)], ids=str
)
def test_bracing_is_stated_declined_or_not_stated(roof: Document, given: object, built: object) -> None:
    roof["bracing"] = given
    assert to_design(roof).bracing == built


def test_a_deck_may_be_told_in_words(roof: Document) -> None:
    roof["floor"] = {"deck": "boards"}
    assert to_design(roof).floor == Floor(deck=Deck("boards"))


@pytest.mark.parametrize(("given", "built"), [(4, 4), (4.0, 4)])
def test_a_whole_number_may_have_a_point(roof: Document, given: float, built: int) -> None:
    roof["members"][0]["plies"] = given
    plies = to_design(roof).members[0].plies
    assert (plies, type(plies)) == (built, int)


def test_numbers_are_floats_and_zero_has_no_sign(roof: Document) -> None:
    roof["nodes"][0]["x_mm"] = -0.0
    node = to_design(roof).nodes[0]
    assert str(node.x_mm) == "0.0"
    assert isinstance(node.y_mm, float)


def test_a_load_is_what_its_fields_say_even_with_nulls(roof: Document) -> None:
    roof["actions"][0]["loads"] = [{"member": "T", "at_mm": 5, "point_kn": None, "moment_knm": 2, "direction": None}]
    assert to_design(roof).actions[0].loads == (PointLoad("T", 5.0, None, 2.0),)


FASTENERS = {
    "kind": "screw", "count": 4, "diameter_mm": 5, "length_mm": 80, "form": "other", "head_mm": 10, "root_mm": 3.2, "thread_mm": 50, "f_u_mpa": 600,
    "m_y_k_nmm": 5400, "f_ax_k_mpa": 12, "f_head_k_mpa": 15, "f_tens_k_kn": 7, "predrilled": True, "pulled": "both", "pull_angle_deg": 60, "washer_mm": 36,
    "washer_thickness_mm": 4, "in_row": 2, "spacing_mm": 40, "row_spacing_mm": 25, "end_mm": 60, "edge_mm": 25, "edge_to_farthest_mm": 70,
    "shear_beside_kn": 3, "plate_mm": 2, "invented": True, "askew": True, "play_mm": 1,
}  # fmt: skip


def test_every_field_of_fasteners_arrives_wherever_they_stand(roof: Document) -> None:
    built = Fasteners(
        "screw", 4, 5.0, 80.0, "other", 10.0, 3.2, 50.0, 600.0, 5400.0, 12.0, 15.0, 7.0, True, "both", 60.0, 36.0, 4.0, 2, 40.0, 25.0, 60.0, 25.0,
        70.0, 3.0, 2.0, True, True, 1.0,
    )  # fmt: skip
    assert {field.name for field in dataclasses.fields(Fasteners)} == set(FASTENERS)
    rest = {"kn": 9, "basis": "design"}
    strap, hung = roof["supports"][0], roof["supports"][1]
    strap["held_down_by"] = {"bearings": 1, "fasteners": FASTENERS, "rest_capacity": rest}
    hung["seat"] = {"on": "hanger"}
    roof["hangers"] = [
        {"id": "H", "support": hung["id"], "declared_per": "hanger", "fasteners": FASTENERS, "rest_down": rest, "rest_up": rest}
    ]
    roof["bracing"] = [{"id": "B", "kind": "binder", "fasteners": FASTENERS}]
    design = to_design(roof)
    sound = Strength(9.0, basis="design")
    assert design.supports[0].held_down_by == Strap(bearings=1, fasteners=built, rest_capacity=sound)
    assert design.hangers == (Hanger("H", hung["id"], declared_per="hanger", fasteners=built, rest_down=sound, rest_up=sound),)
    assert design.bracing == (Bracing("B", "binder", fasteners=built),)
