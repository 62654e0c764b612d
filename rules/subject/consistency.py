"""What has to hold between the fields of a design for it to be checkable at all. Every fault, not the first; none of judgement.

inconsistencies(design) is the one name others use. Whether the frame stands up is the solver's to say, whether it is strong
enough the rules'.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from rules.subject.actions import Action, PointLoad
from rules.subject.axes import TOLERANCE_MM, Axis, axis_of, bends
from rules.subject.carrying import loading_faults
from rules.subject.design import Design, Waiver
from rules.subject.faults import Fault, pointer
from rules.subject.frame import Cut, Member, Node, Rectangle, Support
from rules.subject.jointing import misjoined
from rules.subject.joints import Joint, Splice
from rules.subject.names import Register, register, repeated
from rules.subject.placing import Places, misplaced
from rules.subject.restraining import overlong, unheld


def inconsistencies(design: Design) -> Iterator[Fault]:
    """Every fault between the fields of a design, part by part in the order of the document."""
    places = _places(design)
    yield from _site(design)
    yield from _roof(design)
    yield from _codes(design)
    yield from _nodes(design)
    yield from _members(design, places)
    yield from _supports(design, places)
    yield from loading_faults(design, places.nodes)
    yield from _actions(design, places)
    yield from repeated(("materials", "grades"), "grade", [grade.id for grade in design.materials])
    yield from unheld(design, places)
    yield from misjoined(design, places)
    yield from _waivers(design, places)


def _places(design: Design) -> Places:
    nodes = {node.id: node for node in design.nodes}
    axes = {member.id: axis for member in design.members if (axis := axis_of(member, nodes)) is not None}
    return Places(register("node", [node.id for node in design.nodes]), register("member", [member.id for member in design.members]), axes)


def _site(design: Design) -> Iterator[Fault]:
    country, subdivision = design.site.country, design.site.subdivision
    if country and subdivision and not subdivision.startswith(f"{country}-"):
        detail = f"{subdivision} is no part of {country}."
        hint = "Give a country and a part of it."
        yield Fault(pointer("site", "subdivision"), "contradiction", detail, subdivision, f"{country}-…", hint)


def _roof(design: Design) -> Iterator[Fault]:
    ridge, eaves = (design.roof.ridge_height_m, design.roof.eaves_height_m) if design.roof else (None, None)
    if ridge is not None and eaves is not None and ridge < eaves:
        detail = f"The ridge lies {ridge:g} m above the ground, and the eaves {eaves:g} m."
        hint = "Both are measured from the ground."
        yield Fault(pointer("roof", "ridge_height_m"), "contradiction", detail, ridge, f"at least {eaves:g}", hint)


def _codes(design: Design) -> Iterator[Fault]:
    names = [pack.partition("==")[0] for pack in design.codes.packs or ()]
    yield from repeated(("codes", "packs"), "pack", names, key=None)


def _nodes(design: Design) -> Iterator[Fault]:
    yield from repeated(("nodes",), "node", [node.id for node in design.nodes])
    yield from _coincident(design.nodes)
    used = {node for member in design.members for node in member.nodes}
    for place, node in enumerate(design.nodes):
        if node.id not in used:
            hint = "Name it in a piece that runs through it, or leave it out."
            yield Fault(pointer("nodes", place), "unused-node", f"No piece runs through node “{node.id}”.", node.id, None, hint)


def _coincident(nodes: tuple[Node, ...]) -> Iterator[Fault]:
    """Pairs nearer than the tolerance, found through a grid of cells of that size."""
    cells: dict[tuple[int, int], list[Node]] = {}
    for place, node in enumerate(nodes):
        column, row = math.floor(node.x_mm / TOLERANCE_MM), math.floor(node.y_mm / TOLERANCE_MM)
        around = (other for i in (-1, 0, 1) for j in (-1, 0, 1) for other in cells.get((column + i, row + j), ()))
        near = next((other for other in around if math.hypot(other.x_mm - node.x_mm, other.y_mm - node.y_mm) < TOLERANCE_MM), None)
        if near is not None and near.id != node.id:
            detail = f"Nodes “{near.id}” and “{node.id}” are less than 1 mm apart."
            hint = "Make them one node, or move one of them."
            yield Fault(pointer("nodes", place), "coincident-nodes", detail, [node.x_mm, node.y_mm], None, hint)
        cells.setdefault((column, row), []).append(node)


def _members(design: Design, places: Places) -> Iterator[Fault]:
    yield from repeated(("members",), "member", [member.id for member in design.members])
    nodes = {node.id: node for node in design.nodes}
    for place, member in enumerate(design.members):
        unknown = [fault for step, node in enumerate(member.nodes) for fault in places.nodes.faults(node, "members", place, "nodes", step)]
        yield from unknown or bends(place, member, nodes)
        yield from _cuts(place, member, places.axes)
        yield from overlong(place, member, places.axes)


def _cuts(place: int, member: Member, axes: Mapping[str, Axis]) -> Iterator[Fault]:
    for part, cuts in (("holes", member.holes), ("notches", member.notches)):
        for step, cut in enumerate(cuts):
            yield from _cut(("members", place, part, step), cut, member, axes.get(member.id))


def _cut(at: tuple[str | int, ...], cut: Cut, member: Member, axis: Axis | None) -> Iterator[Fault]:
    if axis is not None and cut.at_mm > axis.length_mm + TOLERANCE_MM:
        detail = f"{cut.at_mm:.9g} mm is beyond the end of “{member.id}”, which is {axis.length_mm:.9g} mm long."
        hint = "Measure from its first node."
        yield Fault(pointer(*at, "at_mm"), "beyond-piece", detail, cut.at_mm, f"at most {axis.length_mm:.9g} mm", hint)
    if isinstance(member.section, Rectangle) and cut.depth_mm >= member.section.h_mm:
        detail = f"It would take {cut.depth_mm:.9g} mm of a piece {member.section.h_mm:.9g} mm deep."
        hint = "Check the depth."
        yield Fault(pointer(*at, "depth_mm"), "beyond-section", detail, cut.depth_mm, f"below {member.section.h_mm:.9g} mm", hint)


def _supports(design: Design, places: Places) -> Iterator[Fault]:
    if not design.supports:
        yield Fault("/supports", "no-support", "Nothing holds the frame.", [], None, "Give at least one support.")
    yield from repeated(("supports",), "support", [support.id for support in design.supports])
    yield from _shared_nodes(design.supports)
    members = {member.id: member for member in design.members}
    for place, support in enumerate(design.supports):
        yield from places.nodes.faults(support.node, "supports", place, "node")
        yield from _directions(place, support)
        yield from _seat(place, support, members, places.members)


def _shared_nodes(supports: tuple[Support, ...]) -> Iterator[Fault]:
    first: dict[str, str] = {}
    for place, support in enumerate(supports):
        if support.node in first:
            detail = f"Node “{support.node}” is held by “{first[support.node]}” already."
            hint = "Put all it holds into one support."
            yield Fault(pointer("supports", place, "node"), "held-twice", detail, support.node, None, hint)
        first.setdefault(support.node, support.id)


def _directions(place: int, support: Support) -> Iterator[Fault]:
    springs = support.springs
    sprung = {"x": springs.x_kn_per_mm, "y": springs.y_kn_per_mm, "rotation": springs.rotation_knm_per_rad}
    yield from repeated(("supports", place, "holds"), "direction", support.holds, key=None)
    if not support.holds and not any(sprung.values()):
        detail, hint = f"“{support.id}” holds nothing.", "Name the directions it holds, or give springs."
        yield Fault(pointer("supports", place, "holds"), "holds-nothing", detail, [], ["x", "y", "rotation"], hint)
    for step, direction in enumerate(support.holds):
        if sprung[direction]:
            detail = f"“{support.id}” both holds {direction} and has a spring in it."
            hint = "Take it out of holds, or leave the spring out."
            yield Fault(pointer("supports", place, "holds", step), "contradiction", detail, direction, None, hint)


def _seat(place: int, support: Support, members: Mapping[str, Member], known: Register) -> Iterator[Fault]:
    name = support.seat.member if support.seat else None
    if name is None:
        return
    yield from known.faults(name, "supports", place, "seat", "member")
    if name in members and support.node not in members[name].nodes:
        detail = f"“{name}” does not run through node “{support.node}”, so it cannot sit on “{support.id}”."
        hint = "Name a piece that runs through the node."
        yield Fault(pointer("supports", place, "seat", "member"), "contradiction", detail, name, None, hint)


def _actions(design: Design, places: Places) -> Iterator[Fault]:
    ids = [action.id for action in design.actions]
    yield from repeated(("actions",), "action", ids)
    known = register("action", ids)
    groups = {action.id: action.one_of for action in design.actions}
    for place, action in enumerate(design.actions):
        yield from _company(place, action, known, groups)
        yield from _declined(place, action)
        yield from _moving(place, action)
        for step, load in enumerate(action.loads):
            yield from misplaced(place, step, load, places)


def _company(place: int, action: Action, known: Register, groups: Mapping[str, str | None]) -> Iterator[Fault]:
    for part, names in (("never_with", action.never_with), ("needs", action.needs)):
        for step, name in enumerate(names):
            yield from known.faults(name, "actions", place, part, step)
            if name == action.id:
                hint = "Name other actions only."
                yield Fault(pointer("actions", place, part, step), "names-itself", f"“{name}” names itself.", name, None, hint)
    for step, name in enumerate(action.needs):
        excluded = name in action.never_with or (action.one_of is not None and name != action.id and groups.get(name) == action.one_of)
        if excluded:
            detail = f"“{action.id}” needs “{name}”, yet the two may never act together."
            hint = "Take one of the two statements out."
            yield Fault(pointer("actions", place, "needs", step), "contradiction", detail, name, None, hint)


def _declined(place: int, action: Action) -> Iterator[Fault]:
    at = ("actions", place)
    if (action.declines is None) != (action.none_because is None):
        missing = "none_because" if action.none_because is None else "declines"
        detail = f"“{action.id}” declines an expected action, but {missing} is not stated."
        yield Fault(pointer(*at, missing), "required", detail, None, "a text", "Say which expected action there is none of, and why.")
    if action.none_because is not None and action.loads:
        detail = f"“{action.id}” says that there is none, yet has loads."
        yield Fault(pointer(*at, "loads"), "contradiction", detail, f"a list of {len(action.loads)}", None, "Leave out one of the two.")
    if action.none_because is None and action.declines is None and not action.loads:
        hint = "Give its loads; to say that there are none, state declines and none_because."
        yield Fault(pointer(*at, "loads"), "no-loads", f"“{action.id}” has no loads.", None, "a list of at least 1", hint)


def _moving(place: int, action: Action) -> Iterator[Fault]:
    """What is permanent stays where it is and acts in full."""
    if action.nature != "permanent":
        return
    hint = "Give it another nature, or a place of its own."
    if action.free:
        detail = f"“{action.id}” is permanent, so it does not come and go part by part."
        yield Fault(pointer("actions", place, "free"), "contradiction", detail, True, False, hint)
    for step, load in enumerate(action.loads):
        if isinstance(load, PointLoad) and load.anywhere:
            detail = f"“{action.id}” is permanent, so its force does not stand now here, now there."
            yield Fault(pointer("actions", place, "loads", step, "anywhere"), "contradiction", detail, True, False, hint)


def _waivers(design: Design, places: Places) -> Iterator[Fault]:
    known = {
        "design": register("design", [design.reference]),
        "member": places.members,
        "joint": register("joint", [*(each.id for each in _joined(design)), *places.nodes.ids]),
        "support": register("support", [support.id for support in design.supports]),
        "brace": register("item of bracing", [item.id for item in design.bracing] if isinstance(design.bracing, tuple) else []),
    }
    seen: set[tuple[str, str, str, str]] = set()
    for place, waiver in enumerate(design.waivers):
        yield from known[waiver.element_kind].faults(waiver.element_id, "waivers", place, "element", "id")
        if _target(waiver) in seen:
            detail = "A waiver for the same finding stands before it."
            yield Fault(pointer("waivers", place), "duplicate-waiver", detail, waiver.rule, None, "Keep one of them.")
        seen.add(_target(waiver))


def _joined(design: Design) -> tuple[Joint | Splice, ...]:
    """What findings on joints are about."""
    return (*(design.joints if isinstance(design.joints, tuple) else ()), *design.splices)


def _target(waiver: Waiver) -> tuple[str, str, str, str]:
    return waiver.rule, waiver.element_kind, waiver.element_id, waiver.part
