"""From forces to evidence: every quantity the rules may ask for, on the axis they ask for it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.judge.along import Axis
from rules.judge.alternating import SHARE, said_so, with_other_way
from rules.judge.anchored import anchor_givens, is_anchored
from rules.judge.answers import Answers, combined_of, mixed, of_the_frame
from rules.judge.arranging import Arrangement, Ways, arrange, both_signs, together
from rules.judge.bays import bay_givens
from rules.judge.bearings import seat_givens, support_givens
from rules.judge.braces import brace_givens, held_givens, items
from rules.judge.clearance import piece_clearance, plate_clearance
from rules.judge.cuts import cut_givens
from rules.judge.displaced import balance_givens, second_order
from rules.judge.effects import Effects, EffectsOf, bearing, creeping_movements, forces, movements, slides, sliding
from rules.judge.floors import floor_givens
from rules.judge.framed import Frame
from rules.judge.hinged import stands_hinged
from rules.judge.joint_effects import JOINT_AXES, after_contact, joint_effects, together_at_joints
from rules.judge.joint_givens import joint_givens, joint_places
from rules.judge.methods import GENERAL, SECOND_ORDER, SIMPLIFIED, STRENGTH_SET, method
from rules.judge.of_combinations import OfCombinations, OfDesign
from rules.judge.pieces import piece_givens
from rules.judge.places import Places
from rules.judge.plated import Plated, plated_joints
from rules.judge.plies import ply_givens, window_givens
from rules.judge.profile import profile_givens
from rules.judge.properties import named
from rules.judge.sharing import sharing_givens
from rules.judge.simplified import simplified
from rules.judge.snow import snow_givens
from rules.judge.span import span_lengths
from rules.judge.spliced import with_bending
from rules.judge.stations import station_givens
from rules.judge.trusses import node_load_givens, truss_givens
from rules.library.given import Given
from rules.subject.faults import DesignRefused, Fault
from rules.subject.settled import CombinationSet

Floats = NDArray[np.float64]
Key = tuple[str, str]
"""Name of a combination set, and the axis it is seen along: "member", "support", "seat", "joint", "joint-line", "brace", "anchor" or "design"."""

BRACE_AXES = ("brace", "anchor")
"""Those with one place an item of bracing: the item where it crosses the pieces, and where something takes its force."""


def gather(frame: Frame, wanted: Sequence[Key]) -> dict[Key, Axis]:
    """Evidence for every wanted set and axis; a set the code in force does not make is left out."""
    joints = plated_joints(frame) if any(axis in JOINT_AXES for _, axis in wanted) else ()
    asked = dict.fromkeys(key for key in wanted if key[0] in frame.settled.sets and (joints or key[1] not in JOINT_AXES))
    braced = list(dict.fromkeys(name for name, axis in asked if axis in BRACE_AXES and items(frame.settled.design)))
    anchored = [name for name in braced if (name, "anchor") in asked and is_anchored(frame.settled.design)]
    spliced = [key for key in asked if key[1] in JOINT_AXES and frame.settled.design.splices]
    beside = [*braced, *(name for name, _ in spliced)]
    keys = list(dict.fromkeys([*(key for key in asked if key[1] not in BRACE_AXES), *((name, "member") for name in beside)]))
    elements = {axis: _elements(frame, axis, joints) for axis in dict.fromkeys(axis for _, axis in keys)}
    solved = {name: _answers(frame, frame.settled.sets[name]) for name in dict.fromkeys(name for name, _ in keys)}
    whole = OfDesign(frame)
    common = {name: OfCombinations(whole, frame.settled.sets[name]) for name in solved}
    made = {(name, axis): _axis(common[name], axis, elements[axis], solved[name], joints) for name, axis in keys}
    stands = bool(spliced) and stands_hinged(frame)
    made |= {key: with_bending(frame.selection, made[key], made[key[0], "member"], stands=stands) for key in spliced}
    return made | _brace_axes(frame, {name: (common[name], made[name, "member"]) for name in braced}, anchored)


def _answers(frame: Frame, base: CombinationSet) -> Answers:
    """The forces of a set, by the analysis that was chosen for it."""
    chosen = method(frame.selection) if base.name == STRENGTH_SET else GENERAL
    return {SIMPLIFIED: simplified, SECOND_ORDER: second_order}.get(chosen, of_the_frame)(frame, base)


def _elements(frame: Frame, axis: str, joints: Sequence[Plated]) -> dict[str, Given]:
    """What belongs to the elements themselves, whatever acts on them."""
    if axis in JOINT_AXES:
        return joint_givens(frame, axis, joints)
    if axis == "member":
        piece = station_givens(frame) | cut_givens(frame) | node_load_givens(frame) | sharing_givens(frame) | ply_givens(frame)
        return piece | bay_givens(frame)
    if axis == "support":
        return support_givens(frame) | piece_clearance(frame)
    if axis == "seat":
        return seat_givens(frame) | plate_clearance(frame)
    return floor_givens(frame) | truss_givens(frame) | snow_givens(frame) | profile_givens(frame)


def _axis(common: OfCombinations, axis: str, elements: dict[str, Given], answers: Answers, joints: Sequence[Plated]) -> Axis:
    frame, base = common.frame, common.base
    places = _places(frame, axis, joints)
    effects_of, ways = _seen(axis, base, elements, joints)
    arranged, effects = _arranged(frame, base, answers.joints or answers if axis in JOINT_AXES else answers, effects_of, ways)
    _bounded(len(arranged.rows), places.slices[-1].stop)
    if axis in JOINT_AXES:
        effects = after_contact(frame, axis, joints, effects)
        effects = with_other_way(frame.selection.values.get(SHARE), base, arranged.rows, effects)
    effects = _blanked(effects, base.factors[arranged.rows] if not answers.ask else np.full((len(arranged.rows), 1), math.nan))
    ask = answers.ask or (frame.slip.ask if base.creep is not None and axis == "member" else "") or frame.ask
    given = common.of(arranged) | elements | _described(frame, effects, ask)
    if axis == "member" and base.creep is None:
        given |= piece_givens(frame.response.layout, arranged, effects, ask) | window_givens(frame, arranged, base.factors)
    if axis in JOINT_AXES:
        given |= said_so(frame.selection.values.get(SHARE), given)
    if axis == "design":
        given |= balance_givens(answers, arranged)
    if base.creep is not None and axis == "member":
        given |= _creeping(frame, arranged, base.creep)
    evidence = frame.selection.evidence(given)
    return Axis(places.ids, places.slices, places.at, base, arranged, evidence, answers.lifted, places.spots, places.pointers)


def _arranged(frame: Frame, base: CombinationSet, answers: Answers, effects_of: EffectsOf, ways: Ways) -> tuple[Arrangement, Effects]:
    """The rows that are judged, each with its roving loads where they are worst, and their effects."""
    if answers.arranged is not None:
        return answers.arranged, effects_of(frame, answers.table, answers.mix)
    alternatives = [(each, effects_of(frame, answers.cases.rows(each.rows), _alone(frame, each.rows))) for each in frame.alternatives]
    arranged = arrange(base.factors, alternatives, ways)
    return arranged, arranged.spread(effects_of(frame, answers.table, answers.mix), base.factors)


def _alone(frame: Frame, rows: slice) -> Floats:
    """(these rows, rows of the response) factors of each of these by itself."""
    return np.eye(rows.stop - rows.start, len(frame.response), rows.start)


def _seen(axis: str, base: CombinationSet, elements: Mapping[str, Given], joints: Sequence[Plated]) -> tuple[EffectsOf, Ways]:
    """Which effects an axis looks at, and how roving loads are arranged for them."""
    if axis in JOINT_AXES:
        return joint_effects(axis, joints), together_at_joints
    if axis == "member":
        return (forces, together(elements["area"].value, elements["w_y"].value)) if base.creep is None else (movements, both_signs)
    return (sliding if axis == "design" else bearing), both_signs


def _places(frame: Frame, axis: str, joints: Sequence[Plated]) -> Places:
    design, layout = frame.settled.design, frame.response.layout
    if axis in JOINT_AXES:
        return joint_places(frame, axis, joints)
    if axis == "member":
        return Places(_ids(design.members), layout.slices, layout.at)
    if axis == "design":
        return Places((design.reference,), (slice(0, 1),))
    return Places(_ids(design.supports), tuple(slice(i, i + 1) for i in range(len(design.supports))))


def _brace_axes(frame: Frame, sets: Mapping[str, tuple[OfCombinations, Axis]], anchored: Sequence[str]) -> dict[Key, Axis]:
    """The items of bracing in each of these sets, seen with its member axis: where they cross the pieces, and where they are anchored."""
    made: dict[Key, Axis] = {}
    elements = brace_givens(frame) if sets else {}
    for name, (common, member) in sets.items():
        held = _held(frame, member)
        made[name, "brace"] = _brace_axis(common, member, elements | held)
        if name in anchored:
            given = anchor_givens(frame, elements, made[name, "brace"].evidence)
            made[name, "anchor"] = _brace_axis(common, member, given | held)
    return made


def _held(frame: Frame, member: Axis) -> dict[str, Given]:
    """What the pieces that each item names ask of it in each combination, wherever roving loads stand."""
    row_of_each = np.searchsorted(member.arranged.rows, np.arange(len(member.base)))
    return named(*held_givens(frame.settled.design, member.evidence, row_of_each, member.starts))


def _brace_axis(common: OfCombinations, member: Axis, elements: dict[str, Given]) -> Axis:
    """The items of bracing, one place each."""
    frame, every = common.frame, np.arange(len(member.base))
    arranged = Arrangement((), every, np.full(len(every), -1))
    ids = _ids(items(frame.settled.design))
    evidence = frame.selection.evidence(common.of(arranged) | elements)
    slices = tuple(slice(place, place + 1) for place in range(len(ids)))
    return Axis(ids, slices, None, member.base, arranged, evidence, member.lifted)


MOST_CELLS = 8_000_000
"""Published bound: arranged combinations times places judged at once; memory follows it."""


def _bounded(rows: int, places: int) -> None:
    if rows * places > MOST_CELLS:
        detail = f"{rows} combinations at {places} places are more than are judged in one request."
        hint = "Put cases that never act together into one group (one_of), leave out those that cannot govern, or check a smaller frame."
        raise DesignRefused((Fault("/actions", "too-much-to-judge", detail, rows * places, MOST_CELLS, hint),))


def _blanked(effects: Effects, factors: Floats) -> Effects:
    """An unknown factor makes its whole combination unknown, and none of the others."""
    unknown = np.isnan(factors).any(axis=1, keepdims=True)
    if not unknown.any():
        return effects
    return {name: np.where(unknown, math.nan, effect) for name, effect in effects.items()}


def _creeping(frame: Frame, arranged: Arrangement, creep: Floats) -> dict[str, Given]:
    """Movements under the part of each combination that creeps, its roving loads standing as in the combination, and the spans."""
    standing = [creeping_movements(frame, frame.response.rows(each.rows), _alone(frame, each.rows)) for each in frame.alternatives]
    so = arranged.standing_so(standing)
    steady = creeping_movements(frame, combined_of(frame, frame.response, creep), mixed(frame, creep))
    grown = _blanked(so.spread(steady, creep), creep[arranged.rows])
    span, ask = span_lengths(frame), frame.slip.ask or frame.ask
    words = "the same under the quasi-permanent part" + (", slip counted for its own creep" if frame.slip.moved else "")
    return named(
        Given("w_span_creep", "w_qp", "mm", words, grown["w_span"], ask),
        Given("w_bay_creep", "w_qp", "mm", words, grown["w_bay"], ask),
        Given("span_length", "L", "mm", "distance between the supports, or length of the cantilever", span.length),
        Given("is_cantilever", "cantilever", "", "beyond the last support", span.cantilever),
    )


EFFECTS: Mapping[str, tuple[str, str, str]] = {
    "n": ("N", "N", "axial force, tension positive"),
    "v": ("V", "N", "shear force"),
    "m": ("M", "N·mm", "bending moment"),
    "w_span": ("w", "mm", "vertical movement against the line between the supports, with slip where that is stated"),
    "w_bay": ("w", "mm", "movement square to the piece, against the line between its nodes, with slip where that is stated"),
    "down": ("F", "N", "downward force on the bearing"),
    "sideways": ("H", "N", "sideways force on the frame"),
    "roller_x": ("u_x", "mm", "sideways movement of bearings that slide"),
    "p_x": ("P_x", "N", "force of the plates on the piece, to the right"),
    "p_y": ("P_y", "N", "force of the plates on the piece, upwards"),
    "p_m": ("M_P", "N·mm", "moment of the plates on the piece about the middle of the effective area"),
    "v_before": ("V_1", "N", "shear force in the piece before the joint"),
    "v_after": ("V_2", "N", "shear force in the piece beyond the joint"),
    "q_x": ("Q_x", "N", "force through the joint line, to the right"),
    "q_y": ("Q_y", "N", "force through the joint line, upwards"),
    "q_m": ("M_Q", "N·mm", "moment through the joint line about the middle of its covered length"),
}
"""Symbol, unit and words of every effect."""


def _described(frame: Frame, effects: Effects, ask: str) -> dict[str, Given]:
    if "roller_x" in effects:
        effects = {"roller_x": np.abs(effects["roller_x"]).max(axis=1, keepdims=True)}
    given = {name: Given(name, *EFFECTS[name], effect, ask) for name, effect in effects.items()}
    if "roller_x" in effects:
        rolls = any(slides(support) for support in frame.settled.design.supports)
        given |= named(Given("has_roller", "rolls", "", "a bearing is free to slide", np.array([rolls])))
    return given


def _ids(elements: Iterable[Any]) -> tuple[str, ...]:
    return tuple(element.id for element in elements)
