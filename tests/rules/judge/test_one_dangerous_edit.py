"""One thing that goes wrong in a design that passes, and the whole is never passed again; each is a way in which such software was fooled."""

from __future__ import annotations

import copy
import json

import pytest

from rules.subject.faults import DesignRefused
from service.demo import read_design

SOUND = {"fink": json.loads(read_design("fink")), "solid-joist": json.loads(read_design("solid-joist"))}


def named(items, name):
    return next(each for each in items if each["id"] == name)


def member(name, **changes):
    return lambda d: named(d["members"], name).update(changes)


def action(name, **changes):
    return lambda d: named(d["actions"], name).update(changes)


def brace(name, **changes):
    return lambda d: named(d["bracing"], name).update(changes)


def seat(place, **changes):
    return lambda d: d["supports"][place]["seat"].update(changes)


def part(name, **changes):
    return lambda d: d[name].update(changes)


def whole(**changes):
    return lambda d: d.update(changes)


def without(part, name):
    def drop(d):
        d[part] = [each for each in d[part] if each["id"] != name]
        for each in d["actions"]:
            each["never_with"] = [other for other in each.get("never_with", ()) if part != "actions" or other != name]

    return drop


def longer(d):
    for node in d["nodes"]:
        node["x_mm"] *= 1.3


def on(name, piece):
    """The loads of an action on another piece."""
    return lambda d: [load.update(member=piece) for load in named(d["actions"], name)["loads"]]


def every(part, **changes):
    return lambda d: [each.update(changes) for each in d[part]]


def turned(d):
    for each in d["members"]:
        each["section"] = {"b_mm": each["section"]["h_mm"], "h_mm": each["section"]["b_mm"]}


def on_a_hanger(**changes):
    hanger = {"down": {"kn": 6.0, "basis": "design", "document": "sheet 4"}, "up": {"kn": 2.0, "basis": "design", "document": "sheet 4"}}
    first = {"id": "H1", "support": "S1", "fixed": "face", "declared_per": "hanger", **hanger}

    def hang(d):
        d["supports"][0]["seat"] |= {"on": "hanger", "gap_specified_mm": 3}
        d["hangers"] = [first | changes]

    return hang


FINK = {
    "longer": longer, "webs deleted": without("members", "W1"), "wet": part("site", service_class=3), "timber turned": turned,
    "roof forgotten": without("actions", "roof-permanent"), "ceiling forgotten": without("actions", "ceiling-permanent"),
    "loft forgotten": without("actions", "ceiling-imposed-area"), "person forgotten": without("actions", "ceiling-imposed-person"),
    "maintenance forgotten": without("actions", "maintenance-area"), "drift forgotten": without("actions", "snow-drift-left"),
    "snow forgotten": without("actions", "snow-balanced"),
    "roof on the tie": on("roof-permanent", "BC"), "roof on a web": on("roof-permanent", "W2"), "ceiling on the rafter": on("ceiling-permanent", "TC1"),
    "loft for a short while": action("ceiling-imposed-area", duration="short"), "tiles for a short while": action("roof-permanent", duration="short"),
    "no battens": without("bracing", "battens"), "no diagonals": without("bracing", "rafter-diagonals"), "no binders": without("bracing", "rafter-binders"),
    "no binders on the tie": without("bracing", "tie-binders"), "no chevrons": without("bracing", "web-chevrons"),
    "battens end nowhere": brace("battens", anchored_to=None), "battens end in words": brace("battens", anchored_to="to be decided"),
    "binders end in an item misspelt": brace("rafter-binders", anchored_to="rafter-diagonal"), "battens wide apart": brace("battens", spacing_mm=900),
    "battens on one slope": brace("battens", members=["TC1"]), "diagonals too steep": brace("rafter-diagonals", angle_deg=80),
    "one diagonal": brace("rafter-diagonals", rows=1), "a claim to be held": member("W1", restraint_spacing={"out_of_plane_mm": 100}),
    "a row twice as long": whole(count=40), "a row of unknown length": whole(count=None), "further apart": whole(spacing_mm=900),
    "twice the width beside an opening": whole(load_width_mm=1200), "a short bearing": seat(0, length_mm=20), "a bearing far inside": seat(0, offset_mm=[300, -60]),
    "a bearing outside": seat(0, offset_mm=[-91, -60]), "a weak grade": member("BC", grade="C14"), "timber of another code": member("BC", grade="MGP10"),
    "marked by the package": part("materials", marking="package"), "marking unknown": whole(materials={}), "plies by word alone": member("TC1", plies=2),
    "both bearings hold sideways": lambda d: d["supports"][1].update(holds=["x", "y"]), "ends said to be rigid": every("members", ends={"start": "rigid", "end": "rigid"}),
    "high up": part("site", altitude_m=900), "much snow": part("site", snow_ground_kn_per_m2=2.0), "a coast": part("site", wind_speed_m_per_s=35),
    "site unknown": whole(site={"country": "GB"}), "no kind": whole(component_type="other"), "a tank nobody loads": part("roof", tank_litres=300),
    "cut at the heel": member("TC1", notches=[{"at_mm": 549, "depth_mm": 60, "face": "lower"}]), "bored": member("BC", holes=[{"at_mm": 4000, "depth_mm": 60}]),
    "joints forgotten": whole(joints=None), "walls too far apart": whole(as_built={"clear_width_mm": 8900}), "walls too close": whole(as_built={"clear_width_mm": 8000}),
    "strap of anybody's strength": lambda d: d["supports"][0].update(held_down_by={"what": "strap", "bearings": 1, "capacity": {"kn": 9.0, "basis": "design"}}),
}  # fmt: skip
JOIST = {
    "longer": longer, "further apart": whole(spacing_mm=600), "a lighter use": action("imposed-area", category=None), "an office": every("actions", category="B"),
    "for a short while": action("imposed-area", duration="short"), "partitions forgotten": without("actions", "partitions"), "cut over the bearing": member("J1", notches=[{"at_mm": 50, "depth_mm": 110, "face": "lower", "length_mm": 200}]),
    "cut in the middle": member("J1", notches=[{"at_mm": 2100, "depth_mm": 60, "face": "upper", "length_mm": 50}]),
    "bored near the bearing": member("J1", holes=[{"at_mm": 200, "depth_mm": 50, "length_mm": 50}]), "a big hole": member("J1", holes=[{"at_mm": 2100, "depth_mm": 140, "length_mm": 140}]),
    "plies by word alone": member("J1", plies=2), "short bearings": lambda d: [seat(place, length_mm=20)(d) for place in (0, 1)],
    "walls too far apart": whole(as_built={"clear_width_mm": 4160}), "a weak grade": member("J1", grade="C14"), "no blocking": without("bracing", "blocking"),
    "clamped": lambda d: d["supports"][0].update(holds=["x", "y", "rotation"]), "on springs": lambda d: d["supports"][0].update(springs={"y_kn_per_mm": 0.2}, holds=["x"]),
    "a floor of which nothing is said": whole(floor=None), "in the weather": part("site", service_class=3),
    "a hanger of no strength": on_a_hanger(down=None), "a weak hanger": on_a_hanger(down={"kn": 0.5, "basis": "design", "document": "sheet 4"}),
    "a hanger of anybody's strength": on_a_hanger(down={"kn": 6.0, "basis": "design"}), "the strength of two hangers": on_a_hanger(declared_per="pair"),
    "a gap at the hanger": lambda d: (on_a_hanger()(d), d.update(as_built={"at_supports": [{"support": "S1", "gap_mm": 40}]})),
}  # fmt: skip


@pytest.fixture(params=[*(("fink", name) for name in FINK), *(("solid-joist", name) for name in JOIST)], ids=" ".join)
def edited(request):
    design, name = request.param
    document = copy.deepcopy(SOUND[design])
    {"fink": FINK, "solid-joist": JOIST}[design][name](document)
    assert document != SOUND[design]
    return document


def verdict(checked, document):
    try:
        return checked(document)["verdict"]
    except DesignRefused:
        return "refused"


@pytest.mark.parametrize("design", SOUND)
def test_without_it_the_design_passes(design, checked):
    assert verdict(checked, copy.deepcopy(SOUND[design])) == "pass"


def test_a_hanger_said_in_full_passes(checked):
    joist = copy.deepcopy(SOUND["solid-joist"])
    on_a_hanger()(joist)
    joist["as_built"] = {"at_supports": [{"support": "S1", "gap_mm": 3}]}
    assert verdict(checked, joist) == "pass"


def test_one_dangerous_edit_never_passes(edited, checked):
    assert verdict(checked, edited) in ("fail", "open", "review", "refused")
