"""What the engine itself insists on: forgotten actions, elements nobody judged, joints nobody checked, no code in force."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np

from rules.judge.along import Axis
from rules.judge.as_built import walls_as_built
from rules.judge.ends_of_bracing import ends_of_bracing
from rules.judge.figures_meant import figures_meant
from rules.judge.forgotten import forgotten
from rules.judge.framed import Frame
from rules.judge.joint_guards import guard_joints, invented_plates, with_plates
from rules.judge.judgement import EngineRule, Judgement
from rules.judge.least_loads import least_loads
from rules.judge.on_its_bearing import on_its_bearing
from rules.judge.openings import openings
from rules.judge.plates_apart import plates_apart
from rules.judge.restraint_guard import restrained
from rules.judge.softened import softened
from rules.judge.vouched import vouched
from rules.library.choosing import Selection
from rules.library.rule import Kind, Purpose
from rules.subject.design import FLOOR_TYPES, Design
from rules.subject.faults import pointer

NO_CODE = EngineRule("code-of-practice", "A code of practice is in force", "Without one nothing can be called strong enough.")
NATIONAL = EngineRule(
    "national-choices", "The country's own choices are known", "Load factors and limits are national: recommended values may be too low."
)
UNJUDGED = EngineRule(
    "unjudged-element", "Every element has been judged for strength", "An element nobody looked at must not look like one that passed."
)
INVENTED = EngineRule(
    "invented-values", "No figure of the design is invented", "A figure made up for a demonstration can make nothing safe."
)
LIFTS = EngineRule("bearing-lifts", "Which bearings let go", "A bearing that can only push leaves its load to the others when it lifts.")
CLAMPED = EngineRule(
    "clamped-bearing",
    "A bearing that is to hold a piece against turning is shown to do it",
    "A wall under timber rests; it does not clamp.",
)
NUMBERS = EngineRule("sound-numbers", "The analysis balances and keeps enough digits", "A wrong number must not look like a right one.")
SEISMIC = EngineRule("seismic-actions", "Seismic actions are combined by a code that covers them", "No pack in force combines them.")
FLOOR = EngineRule(
    "floor-in-another-component",
    "A floor in a component that is no joist is judged as a floor",
    "People feel the floor of an attic truss as they feel any other, and its joist is no beam on two walls.",
)
WORKED_OUT = EngineRule(
    "derived-loads",
    "The loads that follow from site and use can be worked out",
    "A load that nobody could work out is missing, and one worked out from doubtful data may be too small.",
)
LEFT_OUT = EngineRule(
    "actions-left-out",
    "Every action given takes part in some combination",
    "A load that no combination holds has been looked at by nobody.",
)
OPENING = EngineRule(
    "service-openings",
    "Openings between the webs are seen",
    "Without a diagonal the chords alone carry the shear, each bent at both ends; full load shows little of it, half load does.",
)
FEWEST_DIGITS = 6
"""Digits the analysis should keep; with fewer a person must look."""


def guard(frame: Frame, axes: Mapping[tuple[str, str], Axis], judgements: Sequence[Judgement]) -> list[Judgement]:
    """All guards over one design, after the rules have spoken."""
    design, selection = frame.settled.design, frame.selection
    return [
        *_numbers(frame),
        *_lifts(design, axes),
        *_clamped(design),
        *on_its_bearing(frame),
        *walls_as_built(frame),
        *_invented(frame),
        *_code(design, selection),
        *softened(frame),
        *_seismic(design),
        *_left_out(frame),
        *_floor(design),
        *_openings(frame),
        *forgotten(frame),
        *least_loads(frame),
        *_worked_out(frame),
        *restrained(frame, axes),
        *_unjudged(design, judgements),
        *guard_joints(design),
        *figures_meant(design),
        *vouched(design),
        *ends_of_bracing(design),
        *plates_apart(frame),
        *invented_plates(design, INVENTED),
    ]


def _whole(
    design: Design, rule: EngineRule, kind: Kind, message: str, *, part: str = "", asks: tuple[str, ...] = (), at: str = ""
) -> Judgement:
    return Judgement(rule, "design", design.reference, 0, kind, part, asks=asks, message=message, pointer=at)


def _numbers(frame: Frame) -> Iterator[Judgement]:
    design, response = frame.settled.design, frame.response
    if not response.balanced:
        message = f"Loads and reactions do not balance (residual {response.residual:.1e}): no number of this report can be relied on."
        yield _whole(design, NUMBERS, Kind.OPEN, message, part="balance", asks=("Check stiffnesses, springs and units.",))
    if response.digits < FEWEST_DIGITS:
        message = f"Stiffnesses differ so much that only about {response.digits} digits of the analysis are left."
        yield _whole(design, NUMBERS, Kind.REVIEW, message, part="digits")


def _invented(frame: Frame) -> Iterator[Judgement]:
    """Pieces of an invented grade: stiffness of the whole frame rests on them, not their own strength alone."""
    for index, (member, material) in enumerate(zip(frame.settled.design.members, frame.settled.materials, strict=True)):
        if material.invented:
            message = f"Member {member.id}: the figures of its grade {material.id!r} are marked as invented."
            ask = "Put in the figures of a standard or of its maker. (materials.grades)"
            yield Judgement(
                INVENTED, "member", member.id, index, Kind.OPEN, asks=(ask,), message=message, pointer=pointer("members", index, "grade")
            )


def _lifts(design: Design, axes: Mapping[tuple[str, str], Axis]) -> Iterator[Judgement]:
    """Bearings that can only push and let go, told once each with the first combination in which they do."""
    for index, support in enumerate(design.supports):
        rows = {name: np.flatnonzero(axis.lifted[:, index]) for (name, kind), axis in axes.items() if kind == "support"}
        first = next((name for name, each in rows.items() if len(each)), None)
        if first is not None:
            words = axes[first, "support"].base.words(int(rows[first][0]))
            message = (
                f"Support {support.id} can only push; it lifts off in {sum(map(len, rows.values()))} combinations, first under {words}."
            )
            yield Judgement(LIFTS, "support", support.id, index, Kind.INFORMATIONAL, message=message, pointer=pointer("supports", index))


def _clamped(design: Design) -> Iterator[Judgement]:
    """Bearings that hold against turning, or have a spring in it: no rule looks at the moment they take."""
    for index, support in enumerate(design.supports):
        if "rotation" in support.holds or support.springs.rotation_knm_per_rad:
            message = f"Support {support.id} holds the piece against turning, which bends it less between its bearings; no rule judges the moment it takes."
            ask = "Show that bearing, fixings and wall take this moment with this stiffness, or let the piece turn there. (supports.holds, supports.springs)"
            at = pointer("supports", index, "holds")
            yield Judgement(CLAMPED, "support", support.id, index, Kind.OPEN, asks=(ask,), message=message, pointer=at)


def _code(design: Design, selection: Selection) -> Iterator[Judgement]:
    if not any(chosen.pack.layer == "code" for chosen in selection.packs):
        ask = "Which country is the site in? (site.country) Or name the packs to apply. (codes.packs)"
        yield _whole(
            design,
            NO_CODE,
            Kind.OPEN,
            "No code of practice is in force for this design, so nothing was judged for strength.",
            asks=(ask,),
            at="/site/country",
        )
    for note in selection.notes:
        yield _whole(
            design,
            NATIONAL,
            Kind.OPEN,
            note,
            asks=("An engineer who knows the national rules must confirm the values.",),
            at="/site/country",
        )


def _seismic(design: Design) -> Iterator[Judgement]:
    named = [action.id for action in design.actions if action.nature == "seismic" and not action.none_because]
    if named:
        message = f"Seismic action {', '.join(named)} is given, and no pack in force combines it: it was left out."
        yield _whole(design, SEISMIC, Kind.OPEN, message, asks=("An engineer must check the seismic situation.",), at="/actions")


def _left_out(frame: Frame) -> Iterator[Judgement]:
    """Actions that no combination of the code in force holds, earthquake apart, which has a guard of its own."""
    ultimate = frame.settled.sets.get("ultimate")
    if ultimate is None:
        return
    held = (ultimate.factors != 0.0).any(axis=0)
    stated = [each for each in zip(frame.settled.actions, held, strict=True) if each[0].action.loads and not each[0].action.none_because]
    named = [each.id for each, there in stated if not there and each.action.nature != "seismic"]
    if named:
        message = f"No combination of the code in force holds the action {', '.join(named)}: it was left out."
        ask = "An engineer must check what it does, or say what kind of load it is. (actions, nature)"
        yield _whole(frame.settled.design, LEFT_OUT, Kind.OPEN, message, asks=(ask,), at="/actions")


def _floor(design: Design) -> Iterator[Judgement]:
    if design.floor is not None and design.component_type not in FLOOR_TYPES:
        message = "A floor is given in a component that is no joist: its strength and sag are judged in the frame, its vibration is not."
        ask = "An engineer must check the vibration of this floor, with the give of what its joist hangs on or stands on."
        yield _whole(design, FLOOR, Kind.OPEN, message, asks=(ask,), at="/floor")


def _openings(frame: Frame) -> Iterator[Judgement]:
    """Each opening of an open-web joist, with what carries the shear there."""
    for number, each in enumerate(openings(frame.settled.design, frame.geometry), 1):
        message = (
            f"Opening {number}: no web between {each.low:.0f} and {each.high:.0f} mm. Chords {each.top} and {each.bottom} carry the shear there and are bent "
            f"at both ends (about V·{each.length:.0f}/4 each); they are judged for it as frame."
        )
        yield _whole(frame.settled.design, OPENING, Kind.INFORMATIONAL, message, part=str(number), at="/members")


def _worked_out(frame: Frame) -> Iterator[Judgement]:
    """What stood in the way of deriving a load, and what a person has to look at."""
    for doubt in frame.derived.doubts:
        kind = Kind.OPEN if doubt.kind == "open" else Kind.REVIEW
        message = doubt.message if kind is Kind.OPEN else f"{doubt.message} {doubt.ask}"
        asks = (doubt.ask,) if kind is Kind.OPEN else ()
        yield _whole(frame.settled.design, WORKED_OUT, kind, message, part=doubt.part, asks=asks, at=doubt.pointer)


def _unjudged(design: Design, judgements: Iterable[Judgement]) -> Iterator[Judgement]:
    judged = {
        (each.element_kind, each.element_id)
        for each in judgements
        if (each.kind is Kind.PASS or each.kind is Kind.FAIL)
        and not isinstance(each.rule, EngineRule)
        and each.rule.purpose is Purpose.STRENGTH
    }
    elements = [("member", member.id, i, "members") for i, member in enumerate(design.members)]
    elements += [("support", support.id, i, "supports") for i, support in enumerate(design.supports)]
    elements += [("joint", joint.id, index, part) for part, index, joint, _ in with_plates(design)]
    for kind, name, index, part in elements:
        if (kind, name) not in judged:
            message = f"{kind.capitalize()} {name}: no rule in force could judge its strength."
            ask = "See the other open findings on it, or have an engineer check it."
            yield Judgement(UNJUDGED, kind, name, index, Kind.OPEN, asks=(ask,), message=message, pointer=pointer(part, index))
