"""From forces to evidence: every quantity the rules may ask for, on the axis they ask for it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.along import Axis
from rules.judge.arranging import Arrangement, Ways, arrange, both_signs, together
from rules.judge.bearings import seat_givens, support_givens
from rules.judge.braces import brace_givens, held_givens, items
from rules.judge.cuts import cut_givens
from rules.judge.effects import Effects, EffectsOf, bearing, forces, movements, slides, sliding
from rules.judge.floors import floor_givens
from rules.judge.framed import Frame
from rules.judge.pieces import piece_givens
from rules.judge.properties import named
from rules.judge.span import span_lengths
from rules.judge.stations import station_givens
from rules.judge.trusses import node_load_givens, truss_givens
from rules.library.evidence import Evidence, Given
from rules.library.labels import Labels
from rules.subject.faults import DesignRefused, Fault
from rules.subject.settled import CombinationSet

Floats = NDArray[np.float64]
Key = tuple[str, str]
"""Name of a combination set, and the axis it is seen along: "member", "support", "seat", "brace" or "design"."""


def gather(frame: Frame, wanted: Iterable[Key]) -> dict[Key, Axis]:
    """Evidence for every wanted set and axis; a set the code in force does not make is left out."""
    asked = dict.fromkeys(key for key in wanted if key[0] in frame.settled.sets)
    braced = [name for name, axis in asked if axis == "brace" and items(frame.settled.design)]
    keys = list(dict.fromkeys([*(key for key in asked if key[1] != "brace"), *((name, "member") for name in braced)]))
    elements = {axis: _elements(frame, axis) for axis in dict.fromkeys(axis for _, axis in keys)}
    tables: dict[str, solver.Combined] = {}
    for name in dict.fromkeys(name for name, _ in keys):
        tables[name] = _combined(frame, frame.settled.sets[name].factors)
    made = {(name, axis): _axis(frame, axis, frame.settled.sets[name], elements[axis], tables[name]) for name, axis in keys}
    return made | {(name, "brace"): _brace_axis(frame, made[name, "member"]) for name in braced}


def _combined(frame: Frame, factors: Floats) -> solver.Combined:
    """Combine the cases that have a place; unknown factors (NaN) count as nought here and are blanked afterwards."""
    roving = len(frame.response) - factors.shape[1]
    combined = frame.response.combine(np.pad(np.nan_to_num(factors), ((0, 0), (0, roving))))
    if frame.alternatives and combined.lifted.any():
        hint = "Give the load one action for each place instead, or hold the bearing down."
        detail = "A bearing that can only push lifts off, and then a load that may stand anywhere cannot simply be added."
        raise DesignRefused((Fault("/supports", "roving-load-on-lifting-bearing", detail, hint=hint),))
    return combined


def _elements(frame: Frame, axis: str) -> dict[str, Given]:
    """What belongs to the elements themselves, whatever acts on them."""
    if axis == "member":
        return station_givens(frame) | cut_givens(frame) | node_load_givens(frame)
    if axis == "support":
        return support_givens(frame)
    return seat_givens(frame) if axis == "seat" else floor_givens(frame) | truss_givens(frame)


def _axis(frame: Frame, axis: str, base: CombinationSet, elements: dict[str, Given], combined: solver.Combined) -> Axis:
    design, layout = frame.settled.design, frame.response.layout
    if axis == "member":
        ids, slices, at = _ids(design.members), layout.slices, layout.at
        if base.creep is None:
            effects_of: EffectsOf = forces
            ways: Ways = together(elements["area"].value, elements["w_y"].value)
        else:
            effects_of, ways = movements, both_signs
    elif axis == "design":
        ids, slices, at, effects_of, ways = (design.reference,), (slice(0, 1),), None, sliding, both_signs
    else:
        ids, slices, at = _ids(design.supports), tuple(slice(i, i + 1) for i in range(len(design.supports))), None
        effects_of, ways = bearing, both_signs
    arranged = arrange(base.factors, [(each, effects_of(frame, frame.response.rows(each.rows))) for each in frame.alternatives], ways)
    _bounded(len(arranged.rows), slices[-1].stop)
    effects = _blanked(arranged.spread(effects_of(frame, combined), np.nan_to_num(base.factors)), base.factors[arranged.rows])
    given = _common(frame, base, arranged) | elements | _described(frame, effects)
    if axis == "member" and base.creep is None:
        given |= piece_givens(layout, arranged, effects, frame.ask)
    if base.creep is not None and axis == "member":
        given |= _creeping(frame, effects_of, arranged, base.creep)
    return Axis(ids, slices, at, base, arranged, Evidence(frame.selection.book, frame.selection.values, given), combined.lifted)


def _brace_axis(frame: Frame, member: Axis) -> Axis:
    """The items of bracing, one place each: what the pieces they name ask of them in each combination, wherever roving loads stand."""
    design, every = frame.settled.design, np.arange(len(member.base))
    arranged = Arrangement((), every, np.full(len(every), -1))
    held = held_givens(design, member.evidence, np.searchsorted(member.arranged.rows, every), member.starts)
    given = _common(frame, member.base, arranged) | brace_givens(frame) | named(*held)
    ids = _ids(items(design))
    evidence = Evidence(frame.selection.book, frame.selection.values, given)
    slices = tuple(slice(place, place + 1) for place in range(len(ids)))
    return Axis(ids, slices, None, member.base, arranged, evidence, member.lifted)


MOST_CELLS = 1_000_000
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


def _creeping(frame: Frame, effects_of: EffectsOf, arranged: Arrangement, creep: Floats) -> dict[str, Given]:
    """Movements under the part of each combination that creeps, its roving loads standing as in the combination, and the spans."""
    grown = _blanked(arranged.spread(effects_of(frame, _combined(frame, creep)), np.nan_to_num(creep)), creep[arranged.rows])
    span = span_lengths(frame)
    return named(
        Given("w_span_creep", "w_qp", "mm", "the same under the quasi-permanent part", grown["w_span"], frame.ask),
        Given("w_bay_creep", "w_qp", "mm", "the same under the quasi-permanent part", grown["w_bay"], frame.ask),
        Given("span_length", "L", "mm", "distance between the supports, or length of the cantilever", span.length),
        Given("is_cantilever", "cantilever", "", "beyond the last support", span.cantilever),
    )


EFFECTS: Mapping[str, tuple[str, str, str]] = {
    "n": ("N", "N", "axial force, tension positive"),
    "v": ("V", "N", "shear force"),
    "m": ("M", "N·mm", "bending moment"),
    "w_span": ("w", "mm", "vertical movement against the line between the supports"),
    "w_bay": ("w", "mm", "movement square to the piece, against the line between its nodes"),
    "down": ("F", "N", "downward force on the bearing"),
    "sideways": ("H", "N", "sideways force on the frame"),
    "roller_x": ("u_x", "mm", "sideways movement of bearings that slide"),
}
"""Symbol, unit and words of every effect."""


def _described(frame: Frame, effects: Effects) -> dict[str, Given]:
    if "roller_x" in effects:
        effects = {"roller_x": np.abs(effects["roller_x"]).max(axis=1, keepdims=True)}
    given = {name: Given(name, *EFFECTS[name], effect, frame.ask) for name, effect in effects.items()}
    if "roller_x" in effects:
        rolls = any(slides(support) for support in frame.settled.design.supports)
        given |= named(Given("has_roller", "rolls", "", "a bearing is free to slide", np.array([rolls])))
    return given


def _ids(elements: Iterable[Any]) -> tuple[str, ...]:
    return tuple(element.id for element in elements)


FORCE_FLOOR = 1e-3
MOMENT_FLOOR = 1e-1
"""N and N·mm: far below anything a frame feels, far above the solver's round-off."""
MARKING_ASK = 'Is each piece marked with its grade, or only the package? (materials.marking: "piece" or "package")'
ALTITUDE_ASK = "How high does the site lie? (site.altitude_m)"


def _common(frame: Frame, base: CombinationSet, arranged: Arrangement) -> dict[str, Given]:
    settled, design = frame.settled, frame.settled.design
    ask = frame.ask or "How long does each action last? (actions, duration)"
    altitude = math.nan if design.site.altitude_m is None else design.site.altitude_m
    durations = Labels.of(base.durations).spread(arranged.rows).down()
    return named(
        Given("duration", "duration", "", "shortest load duration in the combination", durations, ask),
        Given("equation", "equation", "", "which combination of the code", Labels.of(base.equations).spread(arranged.rows).down()),
        Given("is_accidental", "accidental", "", "accidental combination", base.accidental[arranged.rows][:, None]),
        Given("service_class", "service class", "", "service class", Labels.one(str(settled.service_class))),
        Given("marking", "marking", "", "how the timber is marked", Labels.one(design.marking), MARKING_ASK),
        Given("altitude_m", "A", "m", "height above sea level", altitude, ALTITUDE_ASK),
        Given("k_sys", "k_sys", "1", "system factor, taken as 1", 1.0),
        Given("axial_floor", "0", "N", "force below which nothing is judged", FORCE_FLOOR),
        Given("moment_floor", "0", "N·mm", "moment below which nothing is judged", MOMENT_FLOOR),
    )
