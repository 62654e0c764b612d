"""A truss of any form, with every load its roof has, is judged: the bounds of one request are never met by ordinary work."""

import json
from pathlib import Path

import pytest

GIVEN = Path(__file__).parents[3] / "service" / "demo" / "designs" / "by-shape.json"
FORMS = {
    "fink": {},
    "howe": {},
    "fan": {},
    "king-post": {},
    "queen-post": {},
    "attic": {"room_width_mm": 3400, "room_height_mm": 2200},
    "scissor": {"ceiling_pitch_deg": 15},
    "mono": {},
    "couple": {},
    "raised-tie": {"tie_height_mm": 800},
}
WEBS = {
    "howe": ("post", "web"),
    "king-post": ("post", "web"),
    "queen-post": ("post", "strut"),
    "attic": ("post", "collar"),
    "scissor": ("post", "web"),
    "mono": ("post", "web"),
    "couple": (),
    "raised-tie": (),
}


def of_form(form):
    """The demo's truss by its shape in another form, of the same timber, under the same loads; a room has its use as well."""
    design = json.loads(GIVEN.read_bytes())
    pieces = design["shape"]["pieces"]
    web = pieces.pop("web")
    design["shape"] |= {"form": form, **FORMS[form], "pieces": pieces | dict.fromkeys(WEBS.get(form, ("web",)), web)}
    del design["bracing"]
    if form == "attic":
        design["loading"]["floor_use"] = {"category": "A1"}
    return design


@pytest.mark.parametrize("form", FORMS)
def test_it_is_judged_under_all_its_loads(form, checked):
    report = checked(of_form(form))
    judged = {each["rule"] for each in report["findings"] if each["kind"] in ("pass", "fail")}
    assert {"eurocode-timber/bending-with-compression", "eurocode-timber/bending"} & judged
    assert report["verdict"] in ("fail", "open")
