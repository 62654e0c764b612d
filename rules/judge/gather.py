"""From forces to evidence: every quantity the rules may ask for, on the axis they ask for it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.geometry import Geometry
from rules.judge.mechanics import section_area
from rules.judge.settle import ROOF_TYPES
from rules.judge.span import span_deflection
from rules.library.choosing import Selection
from rules.library.evidence import Evidence, Given
from rules.library.labels import Labels
from rules.subject.frame import Member, Prism, Rectangle
from rules.subject.material import Material
from rules.subject.settled import CombinationSet, Settled

Floats = NDArray[np.float64]

PROPERTIES = {
    "f_m_k": ("f_m_k_mpa", "f_m,k"),
    "f_t_0_k": ("f_t_0_k_mpa", "f_t,0,k"),
    "f_c_0_k": ("f_c_0_k_mpa", "f_c,0,k"),
    "f_c_90_k": ("f_c_90_k_mpa", "f_c,90,k"),
    "f_v_k": ("f_v_k_mpa", "f_v,k"),
    "e_0_05": ("e_0_05_mpa", "E_0,05"),
    "g_mean": ("g_mean_mpa", "G_mean"),
    "e_0_mean": ("e_0_mean_mpa", "E_0,mean"),
}


@dataclass(frozen=True)
class Axis:
    """One set of combinations seen along one kind of element. kind: what the elements are; slices: where each element's
    places lie; at: position of every place along its element in mm, None where a place is the element."""

    kind: str
    ids: tuple[str, ...]
    slices: tuple[slice, ...]
    at: Floats | None
    combinations: CombinationSet
    evidence: Evidence

    @property
    def shape(self) -> tuple[int, int]:
        """(combinations, places)."""
        return len(self.combinations), self.slices[-1].stop if self.slices else 0


@dataclass(frozen=True)
class Frame:
    """What gathering works from."""

    settled: Settled
    selection: Selection
    geometry: Geometry
    response: solver.Response


Key = tuple[str, str]
"""Name of a combination set, and the axis it is seen along: "member", "support", "seat" or "design"."""


def gather(frame: Frame, wanted: Iterable[Key]) -> dict[Key, Axis]:
    """Evidence for every wanted set and axis; a set the code in force does not make is left out."""
    keys = list(dict.fromkeys(key for key in wanted if key[0] in frame.settled.sets))
    combined = {name: combine(frame.response, frame.settled.sets[name].factors) for name in dict.fromkeys(name for name, _ in keys)}
    elements = {axis: _elements(frame, axis) for axis in dict.fromkeys(axis for _, axis in keys)}
    return {(name, axis): _axis(frame, axis, frame.settled.sets[name], elements[axis], combined[name]) for name, axis in keys}


def _elements(frame: Frame, axis: str) -> dict[str, Given]:
    """What belongs to the elements themselves, whatever acts on them."""
    if axis == "member":
        return _stations(frame)
    if axis == "support":
        return _supports(frame)
    return _seats(frame) if axis == "seat" else {}


def _axis(frame: Frame, axis: str, combinations: CombinationSet, elements: dict[str, Given], combined: Combined) -> Axis:
    design, layout = frame.settled.design, frame.response.layout
    given = _common(frame, combinations) | elements
    at = None
    if axis == "member":
        ids, slices, at = _ids(design.members), layout.slices, layout.at
        given |= _forces(frame, combined)
        if combinations.creep is not None:
            given |= _deflections(frame, combined, combine(frame.response, combinations.creep))
    elif axis == "design":
        ids, slices = (design.reference,), (slice(0, 1),)
        given |= _whole(frame, combined)
    else:
        ids, slices = _ids(design.supports), tuple(slice(i, i + 1) for i in range(len(design.supports)))
        given |= _bearing_forces(frame, combined)
    return Axis(axis, ids, slices, at, combinations, Evidence(frame.selection.book, frame.selection.values, given))


@dataclass(frozen=True, slots=True)
class Combined:
    """What the solver says of K combinations, NaN throughout those whose factors are not all known. Shapes as the solver's."""

    n: Floats
    v: Floats
    m: Floats
    ux: Floats
    uy: Floats
    displacements: Floats
    reactions: Floats


def combine(response: solver.Response, factors: Floats) -> Combined:
    """Combine cases; an unknown factor (NaN) makes its whole combination unknown, and none of the others."""
    unknown = np.isnan(factors).any(axis=1)
    answer = response.combine(np.nan_to_num(factors) if unknown.any() else factors)
    arrays = [answer.n, answer.v, answer.m, answer.ux, answer.uy, answer.displacements, answer.reactions]
    if unknown.any():
        arrays = [np.where(unknown.reshape((-1,) + (1,) * (array.ndim - 1)), math.nan, array) for array in arrays]
    return Combined(*arrays)


def _ids(elements: Iterable[Any]) -> tuple[str, ...]:
    return tuple(element.id for element in elements)


def _named(*givens: Given) -> dict[str, Given]:
    return {given.name: given for given in givens}


def _common(frame: Frame, combinations: CombinationSet) -> dict[str, Given]:
    settled, design = frame.settled, frame.settled.design
    ask = _ask(frame) or "How long does each action last? (actions, duration)"
    altitude = design.site.altitude_m
    return _named(
        Given("duration", "duration", "", "shortest load duration in the combination", Labels.of(combinations.durations).down(), ask),
        Given("is_accidental", "accidental", "", "accidental combination", combinations.accidental[:, None]),
        Given("service_class", "service class", "", "service class", Labels.one(str(settled.service_class))),
        Given("marking", "marking", "", "how the timber is marked", Labels.one(design.marking), MARKING_ASK),
        Given(
            "altitude_m",
            "A",
            "m",
            "height above sea level",
            math.nan if altitude is None else altitude,
            "How high does the site lie? (site.altitude_m)",
        ),
        Given("k_sys", "k_sys", "1", "system factor, taken as 1", 1.0),
        Given("axial_floor", "0", "N", "force below which nothing is judged", FORCE_FLOOR),
        Given("moment_floor", "0", "N·mm", "moment below which nothing is judged", MOMENT_FLOOR),
    )


INNER = ("web", "post", "strut", "brace")
"""Roles of pieces that carry no finish: their sag is not a sag of roof or floor."""
FORCE_FLOOR = 1e-3
MOMENT_FLOOR = 1e-1
"""N and N·mm: far below anything a frame feels, far above the solver's round-off."""
MARKING_ASK = 'Is each piece marked with its grade, or only the package? (materials.marking: "piece" or "package")'
CEILING_ASK = 'What hangs below: "brittle" (plaster or plasterboard), "flexible" or "none"? (roof.ceiling or floor.ceiling)'


def _stations(frame: Frame) -> dict[str, Given]:
    """What belongs to the piece each station lies on."""
    settled, layout = frame.settled, frame.response.layout
    members, materials = settled.design.members, settled.materials
    lines = frame.geometry.lines
    per_bay = [length for lengths in settled.lengths for length in lengths.in_plane]
    first_bay = np.cumsum([0, *(len(lengths.in_plane) for lengths in settled.lengths)])
    bay = first_bay[layout.piece] + layout.bay
    bays = np.array([length for line in lines for length in line.bays])
    held = np.array([each for line in lines for each in line.held], dtype=np.bool_)
    asks = " ".join(dict.fromkeys(lengths.in_plane_ask for lengths in settled.lengths if lengths.in_plane_ask))

    def spread(values: Iterable[Any]) -> Any:
        return np.array(list(values))[layout.piece]

    return _materials(materials, members, layout.piece) | _named(
        Given("area", "A", "mm²", "area of the section, all plies", spread(section_area(member) for member in members)),
        Given("w_y", "W_y", "mm³", "section modulus, all plies", spread(_modulus(member) for member in members)),
        Given("b", "b", "mm", "breadth of one ply", spread(_side(member, "b_mm") for member in members)),
        Given("h", "h", "mm", "depth in the plane of the frame", spread(_side(member, "h_mm") for member in members)),
        Given("largest_side", "h_max", "mm", "larger side of one ply", spread(max(_side(m, "b_mm"), _side(m, "h_mm")) for m in members)),
        Given(
            "radius_y", "i_y", "mm", "radius of gyration in the plane", spread(_side(member, "h_mm") / math.sqrt(12) for member in members)
        ),
        Given(
            "radius_z",
            "i_z",
            "mm",
            "radius of gyration of one ply, sideways",
            spread(_side(member, "b_mm") / math.sqrt(12) for member in members),
        ),
        Given(
            "length_y",
            "l_y",
            "mm",
            "buckling length in the plane of the frame",
            np.array(per_bay)[bay],
            asks or "State restraint_spacing.in_plane_mm.",
        ),
        Given("length_z", "l_z", "mm", "buckling length sideways", spread(lengths.out_of_plane for lengths in settled.lengths)),
        Given(
            "length_top",
            "l_top",
            "mm",
            "length between restraints of the upper edge",
            spread(lengths.top_edge for lengths in settled.lengths),
        ),
        Given(
            "length_bottom",
            "l_bottom",
            "mm",
            "length between restraints of the lower edge",
            spread(lengths.bottom_edge for lengths in settled.lengths),
        ),
        Given("bay_length", "l_bay", "mm", "length between neighbouring nodes", bays[bay]),
        Given("is_held_bay", "held", "", "bay held at both ends", held[bay]),
        Given(
            "upwards",
            "sign",
            "1",
            "1 where the moment reads as sagging from the piece's first node",
            spread(1.0 if line.cos >= -1e-9 else -1.0 for line in lines),
        ),
        Given("ceiling", "ceiling", "", "what hangs below the piece", Labels.of(_ceilings(settled)).spread(layout.piece), CEILING_ASK),
        Given(
            "stiff_end",
            "stiff",
            "",
            "rigid or sprung end",
            spread(member.start != "pinned" or member.end != "pinned" for member in members),
        ),
        Given("is_inner", "inner", "", "a web, post, strut or brace", spread(member.role in INNER for member in members)),
        Given("cut_count", "cuts", "1", "holes and notches", spread(len(member.holes) + len(member.notches) for member in members)),
        *_declared(members, spread),
    )


def _ceilings(settled: Settled) -> list[str | None]:
    """What hangs below every piece: the ceiling hangs from the tie, so rafters over one carry none, unless a collar makes a room."""
    design = settled.design
    part = design.roof or design.floor
    stated = part.ceiling if part else None
    roles = {member.role for member in design.members}
    loft = bool(roles & {"ceiling-tie", "bottom-chord"}) and "collar" not in roles and design.component_type in ROOF_TYPES
    return ["none" if loft and member.role in ("rafter", "top-chord") else stated for member in design.members]


def _declared(members: tuple[Member, ...], spread: Any) -> tuple[Given, ...]:
    ask = "What does the maker declare this part to carry? (section.declared: tension_kn, compression_kn)"

    def capacity(member: Member, which: str) -> float:
        declared = member.section.capacity if isinstance(member.section, Prism) else None
        stated: float | None = getattr(declared, which) if declared else None
        if stated is None or declared is None or (declared.basis == "characteristic" and declared.gamma_m is None):
            return math.nan
        return 1000.0 * stated / (declared.gamma_m or 1.0) if declared.basis == "characteristic" else 1000.0 * stated

    invented = (isinstance(m.section, Prism) and m.section.capacity is not None and m.section.capacity.invented for m in members)
    return (
        Given(
            "declared_tension", "R_t,d", "N", "declared design capacity in tension", spread(capacity(m, "tension_kn") for m in members), ask
        ),
        Given(
            "declared_compression",
            "R_c,d",
            "N",
            "declared design capacity in compression",
            spread(capacity(m, "compression_kn") for m in members),
            ask,
        ),
        Given("declared_invented", "invented", "", "the declared figure is invented", spread(invented)),
    )


def _materials(materials: tuple[Material | None, ...], members: tuple[Member | None, ...], index: NDArray[np.intp]) -> dict[str, Given]:
    """Strengths, stiffnesses and kind of the material at every place; None: no material there."""

    def spread(values: Iterable[Any]) -> Any:
        return np.array(list(values))[index]

    timber = [_is_timber(material, member) for material, member in zip(materials, members, strict=True)]
    given = _named(
        Given("kind", "material", "", "kind of material", Labels.of([_kind(each) for each in materials]).spread(index)),
        Given("is_timber", "timber", "", "a timber section", spread(timber)),
        Given("is_solid_softwood", "solid softwood", "", "solid softwood", spread(_is_softwood(each) for each in materials)),
        Given(
            "g_05",
            "G_0,05",
            "N/mm²",
            "E_0,05 / 16, common practice, no published source",
            spread(_property(m, "e_0_05_mpa") / 16.0 for m in materials),
        ),
    )
    for name, (field, symbol) in PROPERTIES.items():
        ask = f"What is {symbol} of this grade? (materials.grades, {field})"
        given[name] = Given(name, symbol, "N/mm²", "of the grade", spread(_property(material, field) for material in materials), ask)
    return given


def _is_timber(material: Material | None, member: Member | None) -> bool:
    return material is not None and material.kind != "steel" and (member is None or isinstance(member.section, Rectangle))


def _is_softwood(material: Material | None) -> bool:
    return material is not None and material.kind == "solid-timber" and material.softwood is True


def _kind(material: Material | None) -> str | None:
    return material.kind if material else None


def _property(material: Material | None, name: str) -> float:
    return float(material.properties.get(name, math.nan)) if material else math.nan


def _modulus(member: Member) -> float:
    section = member.section
    return member.plies * (section.modulus_mm3 if isinstance(section, Prism) else section.b_mm * section.h_mm**2 / 6.0)


def _side(member: Member, side: str) -> float:
    """A side of the rectangle; 1 for a section by its properties, whose timber quantities are never judged."""
    return float(getattr(member.section, side)) if isinstance(member.section, Rectangle) else 1.0


def _ask(frame: Frame) -> str:
    """What must be answered before every combination has numbers; empty when all have."""
    return " ".join(frame.settled.questions)


def _forces(frame: Frame, combined: Combined) -> dict[str, Given]:
    ask = _ask(frame)
    return _named(
        Given("n", "N", "N", "axial force, tension positive", combined.n, ask),
        Given("v", "V", "N", "shear force", combined.v, ask),
        Given("m", "M", "N·mm", "bending moment", combined.m, ask),
    )


def _deflections(frame: Frame, combined: Combined, creeping: Combined) -> dict[str, Given]:
    span = span_deflection(frame.settled.design, frame.geometry, frame.response.layout, combined)
    span_creep = span_deflection(frame.settled.design, frame.geometry, frame.response.layout, creeping)
    bay, bay_creep = _bay_deflection(frame, combined), _bay_deflection(frame, creeping)
    ask = _ask(frame)
    return _named(
        Given("w_span", "w", "mm", "vertical movement against the line between the supports", span.w, ask),
        Given("w_span_creep", "w_qp", "mm", "the same under the quasi-permanent part", span_creep.w, ask),
        Given("span_length", "L", "mm", "distance between the supports, or length of the cantilever", span.length),
        Given("is_cantilever", "cantilever", "", "beyond the last support", span.cantilever),
        Given("w_bay", "w", "mm", "movement square to the piece, against the line between its nodes", bay, ask),
        Given("w_bay_creep", "w_qp", "mm", "the same under the quasi-permanent part", bay_creep, ask),
    )


def _bay_deflection(frame: Frame, combined: Combined) -> Floats:
    """Movement square to the piece at every station, less the straight line between its bay's two ends."""
    layout, lines = frame.response.layout, frame.geometry.lines
    cos = np.array([line.cos for line in lines])[layout.piece]
    sin = np.array([line.sin for line in lines])[layout.piece]
    across = combined.uy * cos - combined.ux * sin
    first = np.concatenate([[True], (np.diff(layout.piece) != 0) | (np.diff(layout.bay) != 0)])
    starts = np.flatnonzero(first)
    ends = np.append(starts[1:], len(first)) - 1
    which = np.cumsum(first) - 1
    begin, finish = starts[which], ends[which]
    reach = np.maximum(layout.at[finish] - layout.at[begin], 1e-12)
    share = (layout.at - layout.at[begin]) / reach
    return np.asarray(across - (1.0 - share) * across[:, begin] - share * across[:, finish], dtype=np.float64)


def _bearing_forces(frame: Frame, combined: Combined) -> dict[str, Given]:
    reactions = combined.reactions
    ask = _ask(frame)
    return _named(
        Given("down", "F", "N", "downward force on the bearing", reactions[:, :, 1], ask),
        Given("sideways", "H", "N", "sideways force on the frame", reactions[:, :, 0], ask),
    )


def _supports(frame: Frame) -> dict[str, Given]:
    """The piece that bears on each support, and how."""
    settled = frame.settled
    design = settled.design
    members = [None if i is None else design.members[i] for i in settled.seat_members]
    materials = [None if i is None else settled.materials[i] for i in settled.seat_members]
    lines = [None if i is None else frame.geometry.lines[i] for i in settled.seat_members]
    index = np.arange(len(design.supports))
    cos = np.array([abs(line.cos) if line else 1.0 for line in lines])
    holding_x = sum("x" in support.holds or support.springs.x_kn_per_mm is not None for support in design.supports)
    shares = [holding_x > 1 and design.component_type in ROOF_TYPES and "x" in s.holds and s.thrust_by is None for s in design.supports]
    lengths = np.array([_bearing_length(support) for support in design.supports])
    widths = [_contact_width(support, member) for support, member in zip(design.supports, members, strict=True)]
    goes_on = [
        2.0 if member and support.node in member.nodes[1:-1] else 1.0 for support, member in zip(design.supports, members, strict=True)
    ]
    return _materials(tuple(materials), tuple(members), index) | _named(
        Given(
            "bearing_length",
            "l",
            "mm",
            "length of the bearing along the span",
            lengths,
            "How long is the bearing? (supports.seat.length_mm)",
        ),
        Given("contact_width", "b", "mm", "width in contact", np.array(widths), "How wide is the contact? (supports.seat.width_mm)"),
        Given("timber_goes_on", "sides", "1", "sides on which the piece goes on beyond the bearing", np.array(goes_on)),
        Given("sin_to_grain", "sin α", "1", "force against the grain of the piece", cos),
        Given("cos_to_grain", "cos α", "1", "force along the grain of the piece", np.sqrt(np.maximum(1.0 - cos**2, 0.0))),
        Given("shares_thrust", "shared", "", "one of several bearings held sideways", np.array(shares, dtype=np.bool_)),
        Given("hold_down_capacity", "R_d", "N", "declared capacity of the holding-down", np.full(len(index), math.nan), HOLDING_DOWN_ASK),
    )


HOLDING_DOWN_ASK = "Which strap or clip holds this bearing down, and what does its maker declare it to carry? An engineer must check it and the wall below."


def _seats(frame: Frame) -> dict[str, Given]:
    """The timber underneath each support: loaded across its grain, its contact as long as the piece above is wide."""
    settled = frame.settled
    design = settled.design
    members = [None if i is None else design.members[i] for i in settled.seat_members]
    widths = [_contact_width(support, member) for support, member in zip(design.supports, members, strict=True)]
    count = len(design.supports)
    timber = [s.seat is not None and s.seat.on in ("wall-plate", "beam") for s in design.supports]
    given = _materials(settled.seat_materials, (None,) * count, np.arange(count))
    given["is_timber"] = Given("is_timber", "timber", "", "bears on timber", np.array(timber))
    given["kind"] = Given("kind", "material", "", "kind of material", Labels.of([_kind(m) for m in settled.seat_materials]), SEAT_ASK)
    return given | _named(
        Given(
            "bearing_length",
            "l",
            "mm",
            "contact along the grain of the timber underneath",
            np.array(widths),
            "How wide is the contact? (supports.seat.width_mm)",
        ),
        Given(
            "contact_width",
            "b",
            "mm",
            "contact across the grain of the timber underneath",
            np.array([_bearing_length(s) for s in design.supports]),
            "How long is the bearing? (supports.seat.length_mm)",
        ),
        Given("timber_goes_on", "sides", "1", "sides on which the timber underneath goes on", np.full(count, 2.0)),
        Given("sin_to_grain", "sin α", "1", "force across the grain", np.ones(count)),
        Given("cos_to_grain", "cos α", "1", "force along the grain", np.zeros(count)),
    )


SEAT_ASK = "Of which grade is the timber underneath? (supports.seat.grade)"


def _bearing_length(support: Any) -> float:
    stated = support.seat.length_mm if support.seat else None
    return math.nan if stated is None else float(stated)


def _contact_width(support: Any, member: Member | None) -> float:
    own = member.section.b_mm * member.plies if member is not None and isinstance(member.section, Rectangle) else math.nan
    stated = support.seat.width_mm if support.seat else None
    return own if stated is None else float(np.fmin(own, stated))


def _whole(frame: Frame, combined: Combined) -> dict[str, Given]:
    design = frame.settled.design
    rollers = [i for i, support in enumerate(design.supports) if "x" not in support.holds and support.springs.x_kn_per_mm is None]
    nodes = [frame.geometry.at[design.supports[i].node] for i in rollers]
    moved = np.abs(combined.displacements[:, nodes, 0]).max(axis=1, initial=0.0) if nodes else np.zeros(len(combined.displacements))
    return _named(
        Given("roller_x", "u_x", "mm", "sideways movement of bearings that slide", moved[:, None], _ask(frame)),
        Given("has_roller", "rolls", "", "a bearing is free to slide", np.array([bool(rollers)])),
    )
