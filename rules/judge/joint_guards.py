"""What the engine insists on at joints: each is answered for, its plates may sit a little off, and their values are real."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from rules.judge.geometry import meeting
from rules.judge.hanging import Hold, holds
from rules.judge.judgement import EngineRule, Judgement
from rules.library.rule import Kind
from rules.subject.design import Declined, Design
from rules.subject.faults import pointer
from rules.subject.joints import Joint, Plates, Splice

JOINTS = EngineRule(
    "unjudged-joints", "The joints are answered for", "A frame is no stronger than the plates, nails and hangers that join it."
)
PLACING = EngineRule(
    "placing-tolerance",
    "How far off their place plates may sit is known",
    "Plates are never quite where they are drawn; the worst place governs.",
)


def guard_joints(design: Design) -> list[Judgement]:
    """Every guard of joints over one design."""
    return [*_answered(design), *_untold(design), *_placing(design)]


def with_plates(design: Design) -> Iterator[tuple[str, int, Joint | Splice, Plates]]:
    """Every joint and splice that has plates, with its part of the document and its index there."""
    for index, joint in enumerate(design.joints if isinstance(design.joints, tuple) else ()):
        if joint.plates:
            yield "joints", index, joint, joint.plates
    for index, splice in enumerate(design.splices):
        yield "splices", index, splice, splice.plates


def _answered(design: Design) -> Iterator[Judgement]:
    stated = design.joints if isinstance(design.joints, tuple) else ()
    unanswered = meeting(design) - {joint.node for joint in stated}
    bare = [node.id for node in design.nodes if node.id in unanswered]
    declared = {hanger.support for hanger in design.hangers}  # a rule of the code in force judges those
    hung = [support.id for support in design.supports if support.seat and support.seat.on == "hanger" and support.id not in declared]
    words = " and ".join(f"{len(names)} {what} ({', '.join(names)})" for what, names in (("joints", bare), ("hangers", hung)) if names)
    if words and isinstance(design.joints, Declined):
        yield _whole(design, Kind.INFORMATIONAL, f"The {words} are checked elsewhere, the design says: {design.joints.none_because}")
    elif words:
        message = f"Nothing here judges the {words}: plates, nails and hangers are not checked."
        ask = 'Say who checks them: "joints": {"none_because": "…"}' if not stated else "Give their plates, or none_because for each joint."
        yield _whole(design, Kind.OPEN, message, (ask,))


def _untold(design: Design) -> Iterator[Judgement]:
    """Joints of which equilibrium does not tell what they pass, and nodes where a piece hangs on none of them; else those judged elsewhere."""
    joints = design.joints if isinstance(design.joints, tuple) else ()
    types, held = {joint.id: joint.plates.plate_type if joint.plates else None for joint in joints}, holds(design)
    for index, joint in enumerate(joints):
        hold, at = held[joint.id], pointer("joints", index)
        doubts = list(_doubts(joint, hold, {types[name] for name in hold.alike}))
        if doubts:
            message = " ".join(said for said, _ in doubts)
            yield Judgement(JOINTS, "joint", joint.id, index, Kind.OPEN, asks=tuple(ask for _, ask in doubts), message=message, pointer=at)
        elif joint.none_because:
            message = f"Joint {joint.id} is checked elsewhere, the design says: {joint.none_because}"
            yield Judgement(JOINTS, "joint", joint.id, index, Kind.INFORMATIONAL, message=message, pointer=at)


def _doubts(joint: Joint, hold: Hold, types: Collection[str | None]) -> Iterator[tuple[str, str]]:
    if hold.apart:
        message = f"Joint {joint.id}: at node {joint.node} no joint holds {' and '.join(hold.apart)} to its pieces."
        yield message, "Which plates hold them, or who judges what does? (joints, pieces)"
    if hold.ring:
        message = f"Joint {joint.id}: how it shares the forces of its pieces with {' and '.join(hold.ring)} cannot be told by equilibrium."
        yield (
            message,
            "Name of each pair only the pieces that it is to hold, so that no two pairs share two of them, or give one pair. (joints, pieces)",
        )
    if len(types) > 1:
        message = f"Joint {joint.id}: it holds the same pieces as {' and '.join(name for name in hold.alike if name != joint.id)}, of another type, and yields otherwise."
        yield message, "Give pairs of one type, or one pair. (joints, plate_type)"


def _whole(design: Design, kind: Kind, message: str, asks: tuple[str, ...] = ()) -> Judgement:
    return Judgement(JOINTS, "design", design.reference, 0, kind, asks=asks, message=message, pointer="/joints")


def _placing(design: Design) -> Iterator[Judgement]:
    for part, index, joint, plates in with_plates(design):
        if plates.placing_tolerance_mm is None:
            message = f"Joint {joint.id}: its plates were judged where they are drawn, and nowhere else."
            ask = "How far off may they sit, along and across? (placing_tolerance_mm; 0 only where that is measured)"
            at = pointer(part, index, "placing_tolerance_mm")
            yield Judgement(PLACING, "joint", joint.id, index, Kind.OPEN, asks=(ask,), message=message, pointer=at)


def invented_plates(design: Design, rule: EngineRule) -> Iterator[Judgement]:
    """Joints whose plates are of a type that is marked as invented, told under this rule."""
    made_up = {each.id for each in design.plate_types if each.invented}
    for part, index, joint, plates in with_plates(design):
        if plates.plate_type in made_up:
            message = f"Joint {joint.id}: the values of its plate type {plates.plate_type!r} are marked as invented."
            ask = "Put in the values of its maker's declaration. (plate_types)"
            at = pointer(part, index, "plate_type")
            yield Judgement(rule, "joint", joint.id, index, Kind.OPEN, asks=(ask,), message=message, pointer=at)
