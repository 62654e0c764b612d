"""What has to hold between joints, splices and plate types and the frame they belong to."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from rules.subject.axes import TOLERANCE_MM, Axis
from rules.subject.design import Design
from rules.subject.faults import Fault, pointer
from rules.subject.frame import Member
from rules.subject.joints import Joint, Plates, Splice
from rules.subject.names import Register, register, repeated
from rules.subject.placing import Places

At = tuple[str | int, ...]


def misjoined(design: Design, places: Places) -> Iterator[Fault]:
    """Everything wrong with the parts `plate_types`, `joints` and `splices`."""
    types = register("plate type", [each.id for each in design.plate_types])
    yield from repeated(("plate_types",), "plate type", [each.id for each in design.plate_types])
    joints = design.joints if isinstance(design.joints, tuple) else ()
    yield from repeated(("joints",), "joint", [joint.id for joint in joints])
    yield from _two_at_a_node(joints)
    for index, joint in enumerate(joints):
        yield from _joint(("joints", index), joint, design, places, types)
    yield from repeated(("splices",), "splice", [splice.id for splice in design.splices])
    yield from _shared(joints, design.splices)
    for index, splice in enumerate(design.splices):
        yield from _splice(("splices", index), splice, places, types)


def _two_at_a_node(joints: tuple[Joint, ...]) -> Iterator[Fault]:
    first: dict[str, Joint] = {}
    for index, joint in enumerate(joints):
        other = first.setdefault(joint.node, joint)
        if other is not joint and not (joint.pieces and other.pieces):
            detail = f"Node “{joint.node}” is joined by “{other.id}” already."
            hint = "Name the pieces that each of them joins (pieces), or give one pair of plates."
            yield Fault(pointer("joints", index, "node"), "joined-twice", detail, joint.node, None, hint)
        elif joint.cut_order and other.cut_order and joint.cut_order != other.cut_order:
            detail = f"“{joint.id}” and “{other.id}” are at one node and state two orders of cutting."
            yield Fault(pointer("joints", index, "cut_order"), "contradiction", detail, None, None, "State the order once.")


def _shared(joints: tuple[Joint, ...], splices: tuple[Splice, ...]) -> Iterator[Fault]:
    """Findings go by the id, so a joint and a splice cannot share one."""
    taken = {joint.id for joint in joints}
    for index, splice in enumerate(splices):
        if splice.id in taken:
            detail = f"“{splice.id}” is the id of a joint."
            yield Fault(pointer("splices", index, "id"), "duplicate-id", detail, splice.id, None, "Give the splice an id of its own.")


def _joint(at: At, joint: Joint, design: Design, places: Places, types: Register) -> Iterator[Fault]:
    yield from places.nodes.faults(joint.node, *at, "node")
    here = [member for member in design.members if joint.node in member.nodes]
    if joint.node in places.nodes.ids and len(here) < 2:
        detail, hint = (
            f"Fewer than two pieces meet at node “{joint.node}”.",
            "Name a node where pieces meet; within a piece, give a splice.",
        )
        yield Fault(pointer(*at, "node"), "nothing-to-join", detail, joint.node, None, hint)
    yield from _form(at, joint)
    if joint.plates:
        yield from _plates(at, joint.plates, types)
    yield from _pieces(at, joint, {member.id for member in here}, places)
    yield from _cut_order(at, joint, {member.id: member for member in here}, places)


def _form(at: At, joint: Joint) -> Iterator[Fault]:
    """Plates, or a reason, and not both."""
    plated = joint.plates is not None or bool(joint.missing)
    hint = "State plate_type, length_mm, width_mm and angle_deg together, or none_because alone."
    for name in joint.missing:
        yield Fault(pointer(*at, name), "required", f"The plates of “{joint.id}” are not whole: {name} is missing.", None, "a value", hint)
    if plated == (joint.none_because is not None):
        detail = f"“{joint.id}” needs either plates or a reason why it is judged elsewhere."
        yield Fault(pointer(*at), "unclear-form", detail, None, ["plate_type", "none_because"], hint)


def _pieces(at: At, joint: Joint, here: Collection[str], places: Places) -> Iterator[Fault]:
    yield from repeated((*at, "pieces"), "piece", joint.pieces, key=None)
    for step, name in enumerate(joint.pieces):
        unknown = list(places.members.faults(name, *at, "pieces", step))
        yield from unknown
        if not unknown and name not in here:
            detail = f"“{name}” does not meet others at node “{joint.node}”."
            yield Fault(pointer(*at, "pieces", step), "contradiction", detail, name, None, "Name pieces that meet at this node.")


def _cut_order(at: At, joint: Joint, here: Mapping[str, Member], places: Places) -> Iterator[Fault]:
    yield from repeated((*at, "cut_order"), "piece", joint.cut_order, key=None)
    for step, name in enumerate(joint.cut_order):
        unknown = list(places.members.faults(name, *at, "cut_order", step))
        yield from unknown
        if not unknown and (name not in here or joint.node in here[name].nodes[1:-1]):
            detail = f"“{name}” does not end at node “{joint.node}”, so it is not cut there."
            hint = "Name pieces that end at this node only."
            yield Fault(pointer(*at, "cut_order", step), "contradiction", detail, name, None, hint)


def _plates(at: At, plates: Plates, types: Register) -> Iterator[Fault]:
    yield from types.faults(plates.plate_type, *at, "plate_type")
    if plates.gaps and plates.gaps.most_mm < plates.gaps.mean_mm:
        detail, hint = "The widest gap is smaller than the mean gap.", "Exchange the two."
        yield Fault(pointer(*at, "gaps", "most_mm"), "contradiction", detail, plates.gaps.most_mm, None, hint)


def _splice(at: At, splice: Splice, places: Places, types: Register) -> Iterator[Fault]:
    yield from places.members.faults(splice.member, *at, "member")
    yield from _plates(at, splice.plates, types)
    axis = places.axes.get(splice.member)
    if axis is not None and not _inside(splice.at_mm, axis):
        detail = f"{splice.at_mm:.9g} mm is not between the ends of “{splice.member}”, which is {axis.length_mm:.9g} mm long."
        hint = "Measure from its first node; join two pieces at a node by a joint."
        yield Fault(pointer(*at, "at_mm"), "beyond-piece", detail, splice.at_mm, f"between 0 and {axis.length_mm:.9g} mm", hint)


def _inside(at_mm: float, axis: Axis) -> bool:
    return TOLERANCE_MM < at_mm < axis.length_mm - TOLERANCE_MM


def plated_ends(design: Design) -> frozenset[tuple[str, str]]:
    """(node, piece) wherever plates hold a piece; what is left to others is not among them."""
    joints = design.joints if isinstance(design.joints, tuple) else ()
    return frozenset(
        (joint.node, member.id)
        for joint in joints
        if joint.plates is not None
        for member in design.members
        if joint.node in member.nodes and (not joint.pieces or member.id in joint.pieces)
    )
