"""Faults between fields: ids, geometry, places along a piece, company of actions."""

from collections.abc import Callable
from typing import Any

import pytest

from rules.subject.faults import DesignRefused, Fault
from service.schemas import to_design

Document = dict[str, Any]
Change = Callable[[Document], object]


def waiver(kind: str, name: str, **more: Any) -> Document:
    return {"rule": "a/b", "element": {"kind": kind, "id": name}, "reason": "r", "approved_by": "a", "expires": "2027-01-01", **more}


def load(**more: Any) -> Document:
    return {"member": "R1", "line_kn_per_m": 1, "along": "member", "direction": "down", **more}


def point(**more: Any) -> Document:
    return {"member": "T", "at_mm": 100, **more}


def loads(*given: Document) -> Change:
    return lambda d: d["actions"][0].update(loads=list(given))


def moving(*given: Document) -> Change:
    return lambda d: d["actions"][1].update(nature="imposed", loads=list(given))


def post(d: Document) -> None:
    """A post from the middle of the tie to the ridge, with a node of its own on the tie."""
    d["nodes"].append({"id": "D", "x_mm": 2000, "y_mm": 0})
    d["members"][2]["nodes"] = ["A", "D", "C"]
    d["members"].append({"id": "P", "role": "post", "nodes": ["D", "B"], "section": {"b_mm": 47, "h_mm": 97}, "grade": "C16"})


def with_post(change: Change) -> Change:
    def both(d: Document) -> None:
        post(d)
        change(d)

    return both


def hung(change: Change) -> Change:
    """Both bearings in hangers of their own, then changed."""

    def both(d: Document) -> None:
        for support in d["supports"]:
            support["seat"] = {"on": "hanger"}
        d["hangers"] = [{"id": f"H{place}", "support": f"S{place}"} for place in (1, 2)]
        change(d)

    return both


PLATE = {"id": "P", "thickness_mm": 1.0}
SPLICE = {"id": "S", "member": "T", "at_mm": 1000, "plate_type": "P", "length_mm": 240, "width_mm": 97}


def joint(node: str, **more: Any) -> Document:
    return {"id": "J", "node": node, "plate_type": "P", "length_mm": 200, "width_mm": 96, "angle_deg": 0, **more}


def joints(*given: Document) -> Change:
    return lambda d: d.update(plate_types=[PLATE], joints=list(given))


def within_the_tie(d: Document) -> None:
    """A joint at a node that only the tie runs through."""
    d["nodes"].append({"id": "D", "x_mm": 2000, "y_mm": 0})
    d["members"][2]["nodes"] = ["A", "D", "C"]
    d.update(plate_types=[PLATE], joints=[joint("D")])


LOAD = "/actions/0/loads/0"

FAULTS: dict[str, tuple[Change, list[tuple[str, str]]]] = {
    "two nodes of one id": (lambda d: d["nodes"].append({"id": "A", "x_mm": 9, "y_mm": 9}), [("/nodes/3/id", "duplicate-id")]),
    "two members of one id": (lambda d: d["members"][1].update(id="R1"), [("/members/1/id", "duplicate-id"), (f"{LOAD[:-1]}1/member", "dangling-id"), ("/actions/1/loads/1/member", "dangling-id")]),
    "two supports of one id": (lambda d: d["supports"][1].update(id="S1"), [("/supports/1/id", "duplicate-id")]),
    "two actions of one id": (lambda d: d["actions"][1].update(id="tiles"), [("/actions/1/id", "duplicate-id")]),
    "two grades of one id": (
        lambda d: d.update(materials={"grades": [{"id": "X", "kind": "lvl", "tradition": "en"}] * 2}), [("/materials/grades/1/id", "duplicate-id")],
    ),
    "two items of bracing of one id": (lambda d: d.update(bracing=[{"id": "B", "kind": "board"}] * 2), [("/bracing/1/id", "duplicate-id")]),
    "a pack asked for twice": (lambda d: d.update(codes={"packs": ["a", "b", "a==1"]}), [("/codes/packs/2", "duplicate-id")]),
    "a direction held twice": (lambda d: d["supports"][1].update(holds=["y", "y"]), [("/supports/1/holds/1", "duplicate-id")]),
    "a piece to nowhere": (lambda d: d["members"][0]["nodes"].append("Z"), [("/members/0/nodes/2", "dangling-id")]),
    "a support on nothing": (lambda d: d["supports"][0].update(node="Z"), [("/supports/0/node", "dangling-id")]),
    "a load on no piece": (loads(load(member="X")), [(f"{LOAD}/member", "dangling-id")]),
    "a load on no node": (loads({"node": "X", "y_kn": 1}), [(f"{LOAD}/node", "dangling-id")]),
    "a company there is not": (lambda d: d["actions"][0].update(never_with=["x"], needs=["y"]), [("/actions/0/never_with/0", "dangling-id"), ("/actions/0/needs/0", "dangling-id")]),
    "a seat for no piece": (lambda d: d["supports"][0]["seat"].update(member="X"), [("/supports/0/seat/member", "dangling-id")]),
    "a batten on no piece": (lambda d: d.update(bracing=[{"id": "B", "kind": "batten", "members": ["R1", "X"]}]), [("/bracing/0/members/1", "dangling-id")]),
    "a measurement of no support": (lambda d: d.update(as_built={"at_supports": [{"support": "S9", "gap_mm": 3}]}), [("/as_built/at_supports/0/support", "dangling-id")]),
    "a support measured twice": (lambda d: d.update(as_built={"at_supports": [{"support": "S1"}] * 2}), [("/as_built/at_supports/1/support", "duplicate-id")]),
    "a hanger for no support": (lambda d: d.update(hangers=[{"id": "H", "support": "S9"}]), [("/hangers/0/support", "dangling-id")]),
    "two hangers of one id": (hung(lambda d: d["hangers"][1].update(id="H1")), [("/hangers/1/id", "duplicate-id")]),
    "two hangers for one support": (hung(lambda d: d["hangers"][1].update(support="S1")), [("/hangers/1/support", "duplicate-id")]),
    "a hanger where there is none": (hung(lambda d: d["supports"][1]["seat"].update(on="masonry")), [("/hangers/1/support", "contradiction")]),
    "a hanger where nobody says": (hung(lambda d: d["supports"][1].update(seat=None)), [("/hangers/1/support", "contradiction")]),
    "held less often than it is long": (
        lambda d: d["members"][0].update(restraint_spacing={"out_of_plane_mm": 2500, "top_edge_mm": 2442, "bottom_edge_mm": 9000}),
        [("/members/0/restraint_spacing/out_of_plane_mm", "beyond-piece"), ("/members/0/restraint_spacing/bottom_edge_mm", "beyond-piece")],
    ),
    "a batten beyond its piece": (lambda d: d.update(bracing=[{"id": "B", "kind": "batten", "members": ["R1"], "from_mm": 2500, "to_mm": 3000}]), [("/bracing/0/from_mm", "beyond-piece"), ("/bracing/0/to_mm", "beyond-piece")]),
    "a ridge below its eaves": (lambda d: d.update(roof={"ridge_height_m": 3, "eaves_height_m": 5}), [("/roof/ridge_height_m", "contradiction")]),
    "a brace anchored to itself": (lambda d: d.update(bracing=[{"id": "B", "kind": "binder", "anchored_to": "B"}]), [("/bracing/0/anchored_to", "contradiction")]),
    "braces that hold each other": (
        lambda d: d.update(bracing=[{"id": n, "kind": "binder", "anchored_to": to} for n, to in (("A", "B"), ("B", "C"), ("C", "B"), ("D", "wall"))]),
        [("/bracing/1/anchored_to", "contradiction"), ("/bracing/2/anchored_to", "contradiction")],
    ),
    "waivers for nothing": (
        lambda d: d.update(waivers=[waiver("member", "X"), waiver("joint", "X"), waiver("support", "X"), waiver("design", "X"), waiver("brace", "X")]),
        [(f"/waivers/{i}/element/id", "dangling-id") for i in range(5)],
    ),
    "a waiver given twice": (lambda d: d.update(waivers=[waiver("member", "T"), waiver("member", "T", part="bay"), waiver("member", "T")]), [("/waivers/2", "duplicate-waiver")]),
    "two joints of one id": (joints(joint("A"), joint("B")), [("/joints/1/id", "duplicate-id")]),
    "two joints at one node": (joints(joint("A"), joint("A", id="J2")), [("/joints/1/node", "joined-twice")]),
    "a joint nowhere": (joints(joint("Z")), [("/joints/0/node", "dangling-id")]),
    "a joint where one piece ends": (within_the_tie, [("/joints/0/node", "nothing-to-join")]),
    "plates of no type": (joints(joint("A", plate_type="X")), [("/joints/0/plate_type", "dangling-id")]),
    "half a pair of plates": (
        joints({"id": "J", "node": "A", "plate_type": "P", "length_mm": 200}), [("/joints/0/width_mm", "required"), ("/joints/0/angle_deg", "required")],
    ),
    "a joint that says nothing": (joints({"id": "J", "node": "A"}), [("/joints/0", "unclear-form")]),
    "plates and a reason for none": (joints(joint("A", none_because="bolted")), [("/joints/0", "unclear-form")]),
    "a piece cut where it does not end": (joints(joint("A", cut_order=["R2"])), [("/joints/0/cut_order/0", "contradiction")]),
    "a piece cut where it runs through": (with_post(joints(joint("D", cut_order=["T"]))), [("/joints/0/cut_order/0", "contradiction")]),
    "a cut order of strangers": (joints(joint("A", cut_order=["T", "X", "T"])), [("/joints/0/cut_order/2", "duplicate-id"), ("/joints/0/cut_order/1", "dangling-id")]),
    "gaps turned round": (joints(joint("A", gaps={"mean_mm": 2, "most_mm": 1})), [("/joints/0/gaps/most_mm", "contradiction")]),
    "a splice at the end of a piece": (lambda d: d.update(plate_types=[PLATE], splices=[SPLICE | {"at_mm": 4000}]), [("/splices/0/at_mm", "beyond-piece")]),
    "a splice in no piece": (lambda d: d.update(plate_types=[PLATE], splices=[SPLICE | {"member": "X"}]), [("/splices/0/member", "dangling-id")]),
    "a splice called like a joint": (
        lambda d: d.update(plate_types=[PLATE], joints=[joint("A")], splices=[SPLICE | {"id": "J"}]), [("/splices/0/id", "duplicate-id")],
    ),
    "two nodes in one place": (lambda d: d["nodes"].append({"id": "A2", "x_mm": 0.6, "y_mm": -0.6}), [("/nodes/3", "coincident-nodes"), ("/nodes/3", "unused-node")]),
    "a node nobody uses": (lambda d: d["nodes"].append({"id": "Q", "x_mm": 9, "y_mm": 9}), [("/nodes/3", "unused-node")]),
    "a piece there and back": (lambda d: d["members"][0].update(nodes=["A", "B", "A"]), [("/members/0/nodes/2", "node-twice")]),
    "a bent piece": (with_post(lambda d: d["nodes"][3].update(y_mm=-1.5)), [("/members/2/nodes/1", "bent-piece")]),
    "a piece in the wrong order": (with_post(lambda d: d["members"][2].update(nodes=["A", "C", "D"])), [("/members/2/nodes/1", "out-of-order")]),
    "no support": (lambda d: d.update(supports=[]), [("/supports", "no-support")]),
    "a support that holds nothing": (lambda d: d["supports"][1].update(holds=[]), [("/supports/1/holds", "holds-nothing")]),
    "two supports on one node": (lambda d: d["supports"][1].update(node="A"), [("/supports/1/node", "held-twice")]),
    "held and sprung": (lambda d: d["supports"][1].update(springs={"y_kn_per_mm": 2}), [("/supports/1/holds/0", "contradiction")]),
    "a seat for a piece elsewhere": (lambda d: d["supports"][0]["seat"].update(member="R2"), [("/supports/0/seat/member", "contradiction")]),
    "a county of another country": (lambda d: d["site"].update(country="FR"), [("/site/subdivision", "contradiction")]),
    "a load that ends where it begins": (loads(load(from_mm=500, to_mm=500)), [(f"{LOAD}/from_mm", "no-extent")]),
    "a load from beyond the piece": (loads(load(from_mm=2443)), [(f"{LOAD}/from_mm", "beyond-piece")]),
    "a load to beyond the piece": (loads(load(to_mm=2443)), [(f"{LOAD}/to_mm", "beyond-piece")]),
    "a load at the end of the piece": (loads(load(from_mm=2441.32)), [(f"{LOAD}/from_mm", "no-extent")]),
    "a force beyond the piece": (loads(point(at_mm=4002, point_kn=1, direction="down")), [(f"{LOAD}/at_mm", "beyond-piece")]),
    "a hole beyond the piece": (lambda d: d["members"][2].update(holes=[{"at_mm": 5000, "depth_mm": 20}]), [("/members/2/holes/0/at_mm", "beyond-piece")]),
    "a notch through the piece": (lambda d: d["members"][2].update(notches=[{"at_mm": 50, "depth_mm": 147}]), [("/members/2/notches/0/depth_mm", "beyond-section")]),
    "a plan load sideways": (loads(load(along="plan", direction="left")), [(f"{LOAD}/direction", "direction-along")]),
    "a load per height downwards": (loads(load(along="height")), [(f"{LOAD}/direction", "direction-along")]),
    "suction per plan": (loads(load(along="plan", direction="suction", face="upper")), [(f"{LOAD}/direction", "direction-along")]),
    "a plan load on a post": (with_post(loads(load(member="P", along="plan"))), [(f"{LOAD}/along", "no-extent")]),
    "a load per height on a tie": (loads(load(member="T", along="height", direction="left")), [(f"{LOAD}/along", "no-extent")]),
    "suction on no face": (loads(load(direction="suction")), [(f"{LOAD}/face", "required")]),
    "pressure on a point of no face": (loads(point(point_kn=1, direction="pressure")), [(f"{LOAD}/face", "required")]),
    "the left face of a rafter": (loads(load(direction="suction", face="left")), [(f"{LOAD}/face", "wrong-face")]),
    "the upper face of a post": (with_post(loads(load(member="P", direction="pressure", face="upper"))), [(f"{LOAD}/face", "wrong-face")]),
    "a force of no direction": (loads(point(point_kn=1)), [(f"{LOAD}/direction", "required")]),
    "a force and a moment": (loads(point(point_kn=1, moment_knm=1, direction="down")), [(LOAD, "unclear-form")]),
    "a force at no place": (loads(point(at_mm=None, point_kn=1, direction="down")), [(f"{LOAD}/at_mm", "required")]),
    "a force here and anywhere": (moving(point(point_kn=1, direction="down", anywhere=True)), [("/actions/1/loads/0/at_mm", "unclear-form")]),
    "a moment anywhere": (moving(point(at_mm=None, moment_knm=1, anywhere=True)), [("/actions/1/loads/0/anywhere", "unclear-form")]),
    "permanent load part by part": (lambda d: d["actions"][0].update(nature="permanent", free=True), [("/actions/0/free", "contradiction")]),
    "a permanent force anywhere": (
        lambda d: d["actions"][0].update(nature="permanent", loads=[point(at_mm=None, point_kn=1, direction="down", anywhere=True)]),
        [(f"{LOAD}/anywhere", "contradiction")],
    ),
    "a moment downwards": (loads(point(moment_knm=1, direction="down")), [(f"{LOAD}/direction", "direction-of-moment")]),
    "an action of no loads": (lambda d: d["actions"][0].pop("loads"), [("/actions/0/loads", "no-loads")]),
    "an action of an empty list": (lambda d: d["actions"][0].update(loads=[]), [("/actions/0/loads", "no-loads")]),
    "declined without a reason": (lambda d: d["actions"][2].pop("none_because"), [("/actions/2/none_because", "required")]),
    "a reason for declining nothing": (lambda d: d["actions"][2].pop("declines"), [("/actions/2/declines", "required")]),
    "declined, with loads": (lambda d: d["actions"][2].update(loads=[load()]), [("/actions/2/loads", "contradiction")]),
    "an action that needs itself": (lambda d: d["actions"][0].update(needs=["tiles"]), [("/actions/0/needs/0", "names-itself")]),
    "an action that shuns itself": (lambda d: d["actions"][0].update(never_with=["tiles"]), [("/actions/0/never_with/0", "names-itself")]),
    "needed and shunned": (lambda d: d["actions"][0].update(needs=["snow"], never_with=["snow"]), [("/actions/0/needs/0", "contradiction")]),
    "needed, of one group": (lambda d: (d["actions"][0].update(needs=["snow"], one_of="g"), d["actions"][1].update(one_of="g")), [("/actions/0/needs/0", "contradiction")]),
    "a batten that ends before it begins": (lambda d: d.update(bracing=[{"id": "B", "kind": "batten", "from_mm": 9, "to_mm": 8}]), [("/bracing/0/from_mm", "no-extent")]),
}  # fmt: skip


def told(document: Document) -> tuple[Fault, ...]:
    with pytest.raises(DesignRefused) as refusal:
        to_design(document)
    return refusal.value.faults


@pytest.mark.parametrize(("change", "expected"), FAULTS.values(), ids=FAULTS)
def test_what_does_not_fit_together_is_told_where_it_stands(roof: Document, change: Change, expected: list[tuple[str, str]]) -> None:
    change(roof)
    faults = told(roof)
    assert [(fault.pointer, fault.code) for fault in faults] == expected
    assert all(fault.detail.endswith(".") and fault.hint.endswith((".", "?")) for fault in faults)


SOUND: dict[str, Change] = {
    "as it is": lambda d: d,
    "a post": post,
    "a piece bent by less than 1 mm": with_post(lambda d: d["nodes"][3].update(y_mm=0.9)),
    "nodes a millimetre apart": lambda d: (
        d["nodes"].append({"id": "E", "x_mm": 1, "y_mm": 0}),
        d["members"][2].update(nodes=["A", "E", "C"]),
    ),
    "a load to the very end, rounded": loads(load(to_mm=2441.4)),
    "a moment": loads(point(moment_knm=-1)),
    "a person anywhere": moving(point(at_mm=None, point_kn=0.9, direction="down", anywhere=True)),
    "a floor load part by part": lambda d: d["actions"][1].update(nature="imposed", free=True),
    "a force at the end": loads(point(at_mm=4000, point_kn=1, direction="up")),
    "wind on a post": with_post(loads(load(member="P", direction="pressure", face="left"))),
    "wind per height on a post": with_post(loads(load(member="P", along="height", direction="right"))),
    "springs alone": lambda d: d["supports"][1].update(holds=[], springs={"y_kn_per_mm": 3}),
    "a seat for its own piece": lambda d: d["supports"][0]["seat"].update(member="R1"),
    "actions that exclude each other": lambda d: d["actions"][0].update(never_with=["snow"]),
    "an action that needs another": lambda d: d["actions"][0].update(needs=["snow"]),
    "waivers for all kinds": lambda d: d.update(
        waivers=[
            waiver("member", "T"),
            waiver("joint", "A"),
            waiver("support", "S1"),
            waiver("design", "BOATHOUSE-R1"),
            waiver("member", "T", part="x"),
        ]
    ),
    "a hole": lambda d: d["members"][2].update(holes=[{"at_mm": 500, "depth_mm": 30}]),
    "no bracing": lambda d: d.update(bracing="none"),
}


@pytest.mark.parametrize("change", SOUND.values(), ids=SOUND)
def test_what_fits_together_is_taken(roof: Document, change: Change) -> None:
    change(roof)
    assert to_design(roof).reference == "BOATHOUSE-R1"


def test_an_id_in_other_letters_is_asked_back(roof: Document) -> None:
    roof["supports"][0]["node"] = "a"
    (fault,) = told(roof)
    assert fault.hint == "Did you mean “A”?"
    assert fault.allowed == ["A", "B", "C"]


def test_a_long_list_of_ids_is_not_written_out(roof: Document) -> None:
    roof["nodes"] += [{"id": f"N{i}", "x_mm": 10 * i, "y_mm": -50} for i in range(30)]
    roof["members"].append(
        {"id": "L", "role": "purlin", "nodes": [f"N{i}" for i in range(30)], "section": {"b_mm": 47, "h_mm": 97}, "grade": "C16"}
    )
    roof["supports"][0]["node"] = "Z"
    (fault,) = told(roof)
    assert fault.allowed == "one of the 33 ids given, “A” to “N29”"


def test_the_bend_of_a_piece_is_measured(roof: Document) -> None:
    """Node D of the tie 30 mm below the line A–C: 30 mm off it."""
    post(roof)
    roof["nodes"][3]["y_mm"] = -30
    (fault,) = told(roof)
    assert fault.found == 30.0
    assert "30 mm off" in fault.detail


def test_all_that_does_not_fit_is_told_at_once(roof: Document) -> None:
    for change in (
        FAULTS["two supports of one id"],
        FAULTS["a load to beyond the piece"],
        FAULTS["needed and shunned"],
        FAULTS["a notch through the piece"],
    ):
        change[0](roof)
    assert [fault.pointer for fault in told(roof)] == [
        "/members/2/notches/0/depth_mm",
        "/supports/1/id",
        "/actions/0/needs/0",
        f"{LOAD}/to_mm",
    ]
