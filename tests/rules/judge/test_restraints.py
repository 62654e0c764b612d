"""In a roof and in a floor every restraint a piece relies on is held against the bracing: which item gives it, where it is, and where its force ends."""

from __future__ import annotations

import pytest

DOWN = {"along": "member", "direction": "down"}
WALL = {"anchored_to": "gable wall"}


@pytest.fixture
def roof(couple):
    """A pair of rafters 2.5 m long; the left one relies on being held, as said."""

    def make(bracing, **relied):
        loads = [{"member": "R1", "line_kn_per_m": 0.3, **DOWN}]
        frame = couple(4000, 1500, actions=[{"id": "g", "nature": "permanent", "loads": loads}])
        frame["members"][0]["restraint_spacing"] = relied or {"out_of_plane_mm": 400}
        frame["bracing"] = bracing
        return frame

    return make


@pytest.fixture
def hits(checked):
    def run(frame):
        return [each for each in checked(frame)["findings"] if each["rule"] == "engine/restraints-given"]

    return run


def item(**said):
    return {"id": "b", "kind": "batten", "members": ["R1", "T"], "spacing_mm": 400, **WALL, **said}


RELIES = {
    "not stated": (None, "open", "bracing"),
    "none": ("none", "fail", "there is no bracing"),
    "left to others": ({"none_because": "drawing B2"}, "informational", "drawing B2"),
    "of another piece": ([item(members=["T"])], "fail", "no item of the bracing that could hold it names it"),
    "given": ([item()], None, ""),
    "a diagonal holds nothing by itself": ([item(kind="diagonal")], "fail", "names it"),
    "too far apart": ([item(spacing_mm=402)], "fail", "b holds it every 402 mm only"),
    "a millimetre is no fault": ([item(spacing_mm=401)], None, ""),
    "closer than asked": ([item(spacing_mm=300)], None, ""),
    "nobody says how far apart": ([item(spacing_mm=None)], "open", "How far apart are the braces of b?"),
    "rows enough": ([item(spacing_mm=None, rows=6)], None, ""),
    "rows too few": ([item(spacing_mm=None, rows=4)], "fail", "leaves part of it bare"),
    "rows stand inside their stretch": ([item(spacing_mm=None, rows=4, from_mm=380, to_mm=2120)], "fail", "leaves part of it bare"),
    "nobody says what takes its force": ([item(anchored_to=None)], "open", "What takes the force that b collects?"),
    "anchored to nothing": ([item(anchored_to="none")], "fail", "anchored to nothing"),
    "anchored through another item": ([item(anchored_to="d"), item(id="d", kind="diagonal")], None, ""),
    "through another that ends nowhere": ([item(anchored_to="d"), item(id="d", kind="diagonal", anchored_to=None)], "open", "force that b"),
    "through another anchored to nothing": ([item(anchored_to="d"), item(id="d", kind="diagonal", anchored_to="none")], "fail", "nothing"),
    "anchored to braces that are not listed": (
        [item(anchored_to="the diagonals")],
        "open",
        "“the diagonals”, which takes what b collects, is no item",
    ),
    "on the first half only": ([item(to_mm=1250)], "fail", "leaves part of it bare"),
    "from far beyond the heel": ([item(from_mm=500)], "fail", "leaves part of it bare"),
    "two items, half each": ([item(to_mm=1200), item(id="c", from_mm=1500)], None, ""),
    "two items that leave a gap": ([item(to_mm=1200), item(id="c", from_mm=1700)], "fail", "b, c leaves part of it bare"),
    "one bad, one good": ([item(spacing_mm=900), item(id="c")], None, ""),
}


@pytest.mark.parametrize(("bracing", "kind", "words"), RELIES.values(), ids=RELIES)
def test_what_holds_a_piece_must_be_among_the_bracing(roof, hits, bracing, kind, words):
    found = hits(roof(bracing))
    assert [each["kind"] for each in found] == ([kind] if kind else [])
    assert all("R1" in each["message"] and "sideways every 400 mm" in each["message"] and words in each["message"] for each in found)
    assert all(each["where"]["pointer"] == "/members/0/restraint_spacing/out_of_plane_mm" for each in found)


EDGES = {
    "the edge that is held": (item(edge="top"), None),
    "the other edge": (item(edge="bottom"), "fail"),
    "nobody says which edge": (item(), "open"),
}


@pytest.mark.parametrize(("given", "kind"), EDGES.values(), ids=EDGES)
def test_an_edge_is_held_by_what_is_fixed_to_it(roof, hits, given, kind):
    found = hits(roof([given], top_edge_mm=400))
    assert [(each["part"], each["kind"]) for each in found] == ([("top", kind)] if kind else [])


def test_a_missing_brace_says_what_the_strut_carries_without_it(bar, checked, found):
    """The hand case of a strut 35 × 72 of C24, 2 m, short duration: 3.07 kN unbraced, 11.4 kN braced at 1 m."""
    pushed = [{"id": "snow", "nature": "snow", "duration": "short", "loads": [{"node": "B", "y_kn": -4.0}]}]
    restraint = {"in_plane_mm": 2000, "out_of_plane_mm": 1000}
    frame = bar(2000, {"b_mm": 35, "h_mm": 72}, upright=True, restraint=restraint, component_type="trussed-rafter", actions=pushed)
    frame["bracing"] = [item(members=["M"], kind="binder", spacing_mm=1100)]
    missing = found(checked(frame), "engine/restraints-given", "M", part="sideways")
    assert (missing["kind"], missing["level"]) == ("fail", "error")
    assert "carries a push of 3.07 kN; 6.00 kN is needed" in missing["message"]
    frame["bracing"] = [item(members=["M"], kind="binder", spacing_mm=1000)]
    report = checked(frame)
    assert not [each for each in report["findings"] if each["rule"] == "engine/restraints-given"]
    compression = found(report, "eurocode-timber/compression", "M")
    assert compression["utilisation"] == pytest.approx(6.0 / 11.4, rel=0.005)


def test_a_missing_edge_says_what_the_piece_carries_without_it(roof, hits):
    (missing,) = hits(roof([item(edge="bottom")], top_edge_mm=400))
    assert "carries a moment of" in missing["message"]


def test_of_other_components_nothing_is_known(roof, hits):
    assert not hits(roof(None) | {"component_type": "other"})


DECK = {"deck": {"what": "22 mm particleboard"}}


@pytest.mark.parametrize("role", ["top-chord", "joist"])
def test_the_floor_within_a_truss_holds_nothing_by_itself(role, bar, checked):
    loads = [{"id": "g", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 0.3, **DOWN}]}]
    frame = bar(4000, {"b_mm": 47, "h_mm": 195}, restraint={"top_edge_mm": 400}, component_type="trussed-rafter", actions=loads, floor=DECK)
    frame["members"][0]["role"] = role
    found = {each["part"]: each["kind"] for each in checked(frame)["findings"] if each["rule"] == "engine/restraints-given"}
    assert found["top"] == "open"


HELD = {
    "nobody says": ("top", None, {}, "open"),
    "there is none": ("top", "none", {}, "fail"),
    "a board on its upper edge": ("top", [{"id": "b", "kind": "board", "members": ["M"], "edge": "top", "spacing_mm": 300, **WALL}], {}, None),
    "the deck": ("top", None, DECK, None),
    "a deck that is none": ("top", None, {"deck": "none"}, "open"),
    "a deck on the upper edge only": ("bottom", None, DECK, "open"),
    "noggins at the lower edge": ("bottom", [{"id": "n", "kind": "noggin", "members": ["M"], "edge": "bottom", "rows": 10, **WALL}], DECK, None),
    "too few noggins": ("bottom", [{"id": "n", "kind": "noggin", "members": ["M"], "edge": "bottom", "rows": 1, **WALL}], DECK, "fail"),
    "a strongback that ends nowhere": ("bottom", [{"id": "s", "kind": "strongback", "members": ["M"], "edge": "bottom", "rows": 10}], DECK, "open"),
}  # fmt: skip


@pytest.mark.parametrize(("side", "bracing", "floor", "kind"), HELD.values(), ids=HELD)
def test_a_joist_is_held_by_what_is_fixed_to_it(side, bracing, floor, kind, bar, checked):
    """As in a roof; the deck of the floor holds the upper edge without being listed again, and stands in the schedule for it."""
    loads = [{"id": "g", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 0.3, **DOWN}]}]
    restraint = {"top_edge_mm": 400} if side == "top" else {"bottom_edge_mm": 400}
    frame = bar(4000, {"b_mm": 47, "h_mm": 195}, restraint=restraint, component_type="solid-joist", actions=loads)
    frame["members"][0]["role"] = "joist"
    report = checked(frame | {"bracing": bracing} | ({"floor": floor} if floor else {}))
    found = [each for each in report["findings"] if each["rule"] == "engine/restraints-given"]
    assert [(each["part"], each["kind"]) for each in found] == ([(side, kind)] if kind else [])
    rows = {row["item"]: row for row in report["bracing"]["rows"]}
    assert ("deck" in rows) is (side == "top" and floor == DECK)
    assert ("brace not given" in rows) is (kind is not None)
    assert ("/floor/deck" in [each["pointer"] for each in report["assumptions"]]) is ("deck" in rows)


def test_an_end_that_is_no_item_is_told(roof, checked):
    """A diagonal that was left out, or misspelt, reads like a wall: whoever checks must see that it is taken for one."""
    report = checked(roof([item(anchored_to="diagonals"), item(id="c", anchored_to="diagonal"), item(id="diagonal", kind="diagonal")]))
    told = {each["pointer"]: each["value"] for each in report["assumptions"] if each["pointer"].startswith("/bracing")}
    assert told == {"/bracing/0/anchored_to": "diagonals", "/bracing/2/anchored_to": "gable wall"}


def test_a_restraint_that_is_not_needed_is_told_so(roof, checked):
    """A short piece that carries its moment with nothing holding it: there is no use in telling how much less it would carry."""
    report = checked(roof([item(edge="bottom", members=["R1", "T"])], top_edge_mm=2000))
    (missing,) = (each for each in report["findings"] if each["rule"] == "engine/restraints-given")
    assert missing["kind"] == "fail", "the design and its bracing do not agree"
    assert "needs no such restraint" in missing["message"]
    assert 'write "none"' in missing["message"]
    row = next(row for row in report["bracing"]["rows"] if row["item"] == "brace not given")
    assert "needs no such restraint" in row["note"]
