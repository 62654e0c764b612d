"""Laws over designs of every form: what is harder on a design never turns a fail into a pass, and how a design is written changes nothing."""

from __future__ import annotations

import copy
import datetime
import json
from collections import Counter
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from rules.judge import Options, check
from rules.library import Library, load_library
from service.schemas import to_design
from service.schemas.loading import accepted
from service.schemas.writing import as_written, written_out

Document = dict[str, Any]
DAY = datetime.date(2026, 11, 25)
ALL = Options(include="all", working="none")
SLOW = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large]
FEW = settings(max_examples=4, deadline=None, suppress_health_check=SLOW, phases=(Phase.explicit, Phase.generate))
MANY = settings(max_examples=250, deadline=None, suppress_health_check=SLOW, phases=(Phase.explicit, Phase.generate))

ROOF = {"plate_width_mm": 100, "plate_grade": "C16", "overhang_mm": 400}
FORMS: dict[str, Document] = {
    **{form: {"span_over_plates_mm": 6000, "pitch_deg": 35, **ROOF} for form in ("couple", "king-post", "queen-post", "fink", "fan", "howe")},
    "mono": {"span_over_plates_mm": 4200, "pitch_deg": 22, **ROOF},
    "scissor": {"span_over_plates_mm": 6000, "pitch_deg": 36, "ceiling_pitch_deg": 18, **ROOF},
    "raised-tie": {"span_over_plates_mm": 5000, "pitch_deg": 40, "tie_height_mm": 500, **ROOF},
    "attic": {"span_over_plates_mm": 8400, "pitch_deg": 45, "room_width_mm": 4200, "room_height_mm": 2500, **ROOF},
    "solid-joist": {"clear_span_mm": 3600, "bearing_mm": 90},
    "open-web-joist": {"clear_span_mm": 4400, "bearing_mm": 90, "depth_mm": 254, "panels": 8},
}  # fmt: skip
ROLES = {
    "couple": ("rafter", "ceiling-tie"), "king-post": ("rafter", "ceiling-tie", "post", "web"), "queen-post": ("rafter", "ceiling-tie", "post", "strut"),
    "fink": ("rafter", "ceiling-tie", "web"), "fan": ("rafter", "ceiling-tie", "web"), "howe": ("rafter", "ceiling-tie", "post", "web"),
    "mono": ("rafter", "ceiling-tie", "post", "web"), "scissor": ("rafter", "ceiling-tie", "post", "web"), "raised-tie": ("rafter", "ceiling-tie"),
    "attic": ("rafter", "ceiling-tie", "post", "collar"), "solid-joist": ("joist",), "open-web-joist": ("top-chord", "bottom-chord", "post", "web"),
}  # fmt: skip
LOADED = {"rafter": "roof", "top-chord": "floor", "joist": "floor", "ceiling-tie": "ceiling", "bottom-chord": "ceiling"}
NAILS = {
    "kind": "nail", "diameter_mm": 3.1, "length_mm": 75, "form": "round", "f_u_mpa": 600, "head_mm": 7, "pulled": "across", "in_row": 1,
    "row_spacing_mm": 40, "end_mm": 60, "edge_mm": 23,
}  # fmt: skip
DECLARED = {"kn": 2.0, "stiffness_kn_per_mm": 1.5, "basis": "design", "document": "sheet 4"}


def pieces_of(form: str, draw: st.DrawFn) -> Document:
    """What the pieces of a form are made of; thin enough that some fail."""
    breadth, depth = draw(st.sampled_from([35, 47, 60])), draw(st.sampled_from([97, 120, 145]))
    flat = form == "open-web-joist"
    held = draw(st.sampled_from([None, {"out_of_plane_mm": 400, "top_edge_mm": 400, "bottom_edge_mm": 600}]))
    piece = {
        "section": {"b_mm": 97, "h_mm": 47} if flat else {"b_mm": breadth, "h_mm": depth},
        "grade": draw(st.sampled_from(["C16", "C24"])),
    }
    return {role: piece | ({"restraint_spacing": held} if held and role in LOADED else {}) for role in ROLES[form]}


def base(form: str, shape: Document) -> Document:
    kind = form if form.endswith("joist") else "trussed-rafter"
    return {
        "format": "birdsmouth-design-1", "reference": "LAW", "component_type": kind, "spacing_mm": 600, "count": 8,
        "site": {"country": "GB", "subdivision": "GB-ENG", "district": "E07000082", "altitude_m": 90, "service_class": 1},
        "roof": {"ceiling": "brittle"}, "floor": {"ceiling": "brittle", "width_mm": 5000, "deck": {"thickness_mm": 22, "e_mpa": 3000}},
        "materials": {"marking": "piece"}, "self_weight": False, "shape": shape,
    }  # fmt: skip


def loads(members: list[Document], on: tuple[str, ...], size: float, **way: str) -> list[Document]:
    return [{"member": m["id"], "line_kn_per_m": size, **way} for m in members if LOADED.get(m["role"]) in on]


@st.composite
def designs(draw: st.DrawFn) -> Document:
    """A frame written out, with every kind of load, held and nailed in some way or other, by one of the ways of analysis."""
    form = draw(st.sampled_from(list(FORMS)))
    drawn = base(form, {"form": form, **FORMS[form], "pieces": pieces_of(form, draw)})
    written: Document = json.loads(as_written(written_out(accepted(drawn)[0], to_design(drawn))))
    written["actions"] = actions_on(written, draw)
    if draw(st.booleans()):
        written["load_sharing"] = {"by": "battens", "spans": 2, "staggered": True}
    if draw(st.booleans()) and form not in ("solid-joist", "open-web-joist"):
        word = draw(st.sampled_from(["simplified", "second-order"]))
        written["codes"] = {"parameters": {"analysis": {"value": word, "reason": "a law"}}}
    if draw(st.booleans()):
        written["bracing"] = bracing_of(written, draw)
    return written


def actions_on(design: Document, draw: st.DrawFn) -> list[Document]:
    members, top, heavy = design["members"], ("roof", "floor"), draw(st.floats(0.4, 1.6))
    down = {"along": "plan", "direction": "down"}
    lifted = {"along": "member", "direction": "suction", "face": "upper"}
    ties = [m["id"] for m in members if LOADED.get(m["role"]) == "ceiling"] or [members[0]["id"]]
    first = loads(members, top, 0.5 * heavy, **down)[:1]
    return [
        {"id": "dead", "nature": "permanent", "loads": [*loads(members, top, 0.3 * heavy, **down), *loads(members, ("ceiling",), 0.15, **down)]},
        {"id": "snow", "nature": "snow", "one_of": "snow", "loads": loads(members, top, 0.45 * heavy, **down)},
        {"id": "drift", "nature": "snow", "one_of": "snow", "loads": first},
        {"id": "gale", "nature": "wind", "loads": loads(members, top, draw(st.floats(0.2, 0.9)), **lifted)},
        {"id": "stored", "nature": "imposed", "category": "loft", "loads": loads(members, ("ceiling", "floor"), 0.2 * heavy, **down)},
        {"id": "person", "nature": "imposed", "category": "ceiling-person", "loads": [{"member": ties[0], "point_kn": 0.9, "at_mm": 700, "direction": "down"}]},
    ]  # fmt: skip


def bracing_of(design: Document, draw: st.DrawFn) -> list[Document]:
    held = [m["id"] for m in design["members"] if m["role"] in LOADED]
    nails = {**NAILS, "count": draw(st.integers(2, 4))}
    return [
        {"id": "line", "kind": "binder", "members": held, "edge": "top", "spacing_mm": 400, "section": {"b_mm": 97, "h_mm": 22}, "grade": "C16",
         "fasteners": nails, "anchored_to": "cross", "anchors": 2, "anchor_capacity": DECLARED},
        {"id": "cross", "kind": "diagonal", "members": held, "edge": "bottom", "rows": 2 * len(held), "angle_deg": 45, "section": {"b_mm": 97, "h_mm": 22},
         "grade": "C16", "fasteners": nails, "anchored_to": "the wall", "anchor_capacity": DECLARED},
    ]  # fmt: skip


@cache
def packs() -> Library:
    """The packs, read once; no fixture, because what fails would be printed with them."""
    return load_library()


def judged(design: Document) -> Document:
    return check(to_design(design), packs(), as_of=DAY, options=ALL)


def changed(design: Document, change: Callable[[Document], Any]) -> Document:
    """The design with something done to a copy of it."""
    other = copy.deepcopy(design)
    change(other)
    return other


def element(finding: Document) -> str:
    where = finding["where"]
    return str(where["member"] or where["support"] or where["node"] or where["pointer"])


def wrong(report: Document, *kinds: str) -> set[str]:
    """The elements that a rule says something of these kinds of; what the engine itself misses may be gone where less is relied on."""
    said = [each for each in report["findings"] if each["kind"] in kinds and not each["rule"].startswith("engine/")]
    return {element(each) for each in said if each["kind"] != "fail" or each["level"] == "error"}


def not_better(mild: Document, harsh: Document) -> None:
    """What fails goes on failing, or cannot be told any more, element by element; and so does the whole."""
    assert wrong(mild, "fail") <= wrong(harsh, "fail", "open")


def scaled(nature: str, by: float) -> Callable[[Document], None]:
    def scale(design: Document) -> None:
        for load in (load for action in design["actions"] if action["nature"] == nature for load in action["loads"]):
            for name in ("line_kn_per_m", "point_kn"):
                if name in load:
                    load[name] *= by

    return scale


def thinner(design: Document) -> None:
    for member in design["members"]:
        member["section"]["b_mm"] *= 0.85


def wetter(design: Document) -> None:
    design["site"]["service_class"] = 3


def longer(design: Document) -> None:
    for action in design["actions"]:
        action["duration"] = "permanent" if action["nature"] == "permanent" else "long"


def shorter_bearings(design: Document) -> None:
    for support in design["supports"]:
        support["seat"]["length_mm"] *= 0.4


def weaker(design: Document) -> None:
    for member in design["members"]:
        member["grade"] = {"C24": "C16", "C16": "C14"}[member["grade"]]


def unbraced(design: Document) -> None:
    design.pop("bracing", None)


def unheld(design: Document) -> None:
    for member in design["members"]:
        member["restraint_spacing"] = dict.fromkeys(("out_of_plane_mm", "top_edge_mm", "bottom_edge_mm"), "none")


def fewer_nails(design: Document) -> None:
    for item in design.get("bracing", ()):
        item["fasteners"] = {**item["fasteners"], "count": item["fasteners"]["count"] - 1}


HARDER: dict[str, Callable[[Document], None]] = {
    "more snow": scaled("snow", 1.6), "more wind": scaled("wind", 1.6), "more use": scaled("imposed", 1.6), "thinner timber": thinner,
    "a worse service class": wetter, "loads that last longer": longer, "fewer nails": fewer_nails,
    "shorter bearings": shorter_bearings, "a weaker grade": weaker,
}  # fmt: skip


def split(nature: str) -> Callable[[Document], None]:
    """Every action of this nature as two halves of it."""

    def halve(design: Document) -> None:
        scaled(nature, 0.5)(design)
        halves = [{**copy.deepcopy(each), "id": f"{each['id']}-2"} for each in design["actions"] if each["nature"] == nature]
        for half in halves:
            half |= {"one_of": f"{half['one_of']}-2", "needs": [half["id"].removesuffix("-2")]} if half.get("one_of") else {}
        design["actions"] += halves

    return halve


def reordered(design: Document) -> None:
    for part in ("nodes", "members", "supports", "actions"):
        design[part].reverse()


def mirrored(design: Document) -> None:
    for node in design["nodes"]:
        node["x_mm"] *= -1.0
    for support in design["supports"]:
        if "offset_mm" in support.get("seat", {}):
            support["seat"]["offset_mm"][0] *= -1.0


REWRITTEN: dict[str, Callable[[Document], None]] = {
    "lists turned round": reordered, "mirrored": mirrored, "permanent load in two halves": split("permanent"),
}  # fmt: skip


def alike(one: Document, other: Document) -> None:
    """The same kinds, and the same numbers to nine digits, finding by finding."""
    numbers = [{each["id"]: (each["kind"], each["utilisation"] or 0.0) for each in report["findings"]} for report in (one, other)]
    assert numbers[0].keys() == numbers[1].keys()
    for name, (kind, used) in numbers[0].items():
        assert numbers[1][name] == (kind, pytest.approx(used, rel=1e-6, abs=1e-9))


@pytest.mark.parametrize("change", HARDER.values(), ids=HARDER)
@FEW
@given(design=designs())
def test_what_is_harder_never_turns_a_fail_into_a_pass(change, design):
    not_better(judged(design), judged(changed(design, change)))


@FEW
@given(design=designs())
def test_a_piece_that_nothing_holds_is_no_better_than_one_that_is_held(design):
    held = changed(design, unbraced)
    not_better(judged(held), judged(changed(held, unheld)))


@pytest.mark.parametrize("change", REWRITTEN.values(), ids=REWRITTEN)
@FEW
@given(design=designs())
def test_how_a_design_is_written_changes_nothing(change, design):
    alike(judged(design), judged(changed(design, change)))


@pytest.mark.parametrize("nature", ["snow", "wind", "imposed"])
@FEW
@given(design=designs())
def test_a_load_told_in_two_halves_is_no_less(nature, design):
    not_better(judged(design), judged(changed(design, split(nature))))


@pytest.mark.prove
@pytest.mark.parametrize("change", HARDER.values(), ids=HARDER)
@MANY
@given(design=designs())
def test_that_holds_for_very_many_designs(compared, change, design):
    not_better(judged(design), judged(changed(design, change)))
    compared[next(name for name, each in HARDER.items() if each is change)] += 1


@pytest.fixture(scope="module")
def compared():
    """How many designs were made harder, and how; printed at the end."""
    told = Counter()
    yield told
    if told:
        print(f"\ndesigns made harder: {dict(told)}")
