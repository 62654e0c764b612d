"""Givens of plated joints: of every piece at every place of the plates, and of every joint line; what the makers declare, for one plate."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.judge.framed import Frame
from rules.judge.joint_effects import slices
from rules.judge.links import Link
from rules.judge.places import Places, Spot
from rules.judge.plated import Plated, Shift
from rules.judge.properties import material_givens, named
from rules.judge.spliced import beside_splices
from rules.judge.trusses import truss_givens
from rules.library.given import Given
from rules.subject.frame import Rectangle
from rules.subject.joints import PlateType

REACH_ASK = (
    "Does the plate reach every piece here by more than its margins, and can it be told how they are cut to each other? (offset_mm, cut_order) "
    "Pieces that lie along each other, cross, or are no rectangles are for an engineer."
)
LINE_ASK = (
    "Through which joint line does each piece hang on the others? The plates cover none of one of them. (offset_mm, length_mm, width_mm)"
)
PER_PLATE = (
    ("f_a_0_0_k_mpa", "f_a_0_0_k", "f_a,0,0,k", "N/mm²"),
    ("f_a_90_90_k_mpa", "f_a_90_90_k", "f_a,90,90,k", "N/mm²"),
    ("k_1", "k_1", "k_1", "N/mm² per °"),
    ("k_2", "k_2", "k_2", "N/mm² per °"),
    ("f_t_0_k_n_per_mm", "f_t_0_k_plate", "f_t,0,k", "N/mm"),
    ("f_c_0_k_n_per_mm", "f_c_0_k_plate", "f_c,0,k", "N/mm"),
    ("f_v_0_k_n_per_mm", "f_v_0_k_plate", "f_v,0,k", "N/mm"),
    ("f_t_90_k_n_per_mm", "f_t_90_k_plate", "f_t,90,k", "N/mm"),
    ("f_c_90_k_n_per_mm", "f_c_90_k_plate", "f_c,90,k", "N/mm"),
    ("f_v_90_k_n_per_mm", "f_v_90_k_plate", "f_v,90,k", "N/mm"),
)
"""Field of the plate type, name and symbol of the quantity, unit: values that a pair has twice."""
ANGLES = (("alpha_0_deg", "alpha_0", "α_0", "°"), ("gamma_0_deg", "gamma_0", "γ_0", "°"), ("k_v", "k_v_plate", "k_v", "1"))


def joint_places(frame: Frame, axis: str, joints: Sequence[Plated]) -> Places:
    """Ids, places and their names."""
    members = frame.settled.design.members
    spots = [
        Spot(f"{words}, {_placed(shift)}", members[member].id, plated.node)
        for plated in joints
        for words, member in _named(plated, axis, [member.id for member in members])
        for shift in plated.shifts
    ]
    ids = tuple(plated.id for plated in joints)
    return Places(ids, slices(axis, joints), None, tuple(spots), tuple(plated.pointer for plated in joints))


def _named(plated: Plated, axis: str, ids: Sequence[str]) -> Iterator[tuple[str, int]]:
    names = [ids[body.member] for body in plated.bodies]
    if plated.part == "splices":
        names = [f"{names[0]} before the splice", f"{names[1]} beyond it"]
    if axis == "joint":
        yield from ((f"on {name}", body.member) for name, body in zip(names, plated.bodies, strict=True))
    else:
        yield from (
            (f"between {names[link.bodies[0]]} and {names[link.other]}", plated.bodies[link.bodies[0]].member) for link in plated.links
        )


def _placed(shift: Shift) -> str:
    if not any(shift):
        return "the plates as drawn"
    off = f"the plates {shift[0]:+g} mm along and {shift[1]:+g} mm across off their place"
    return f"{off}, turned by {math.degrees(shift[2]):+.3g}°" if shift[2] else off


def joint_givens(frame: Frame, axis: str, joints: Sequence[Plated]) -> dict[str, Given]:
    """What belongs to the places of an axis of joints, whatever acts on them."""
    given = _piece_givens(frame, joints) if axis == "joint" else _line_givens(frame, joints)
    return given | named(*beside_splices(stands=False, bending=math.nan))


def _piece_givens(frame: Frame, joints: Sequence[Plated]) -> dict[str, Given]:
    at = [
        (plated, i, contact, shift)
        for plated in joints
        for i in range(len(plated.bodies))
        for contact, shift in zip(plated.contacts[i], plated.shifts, strict=True)
    ]
    members = frame.settled.design.members
    index = np.array([plated.bodies[i].member for plated, i, *_ in at], dtype=np.intp)
    sections = [member.section if isinstance(member.section, Rectangle) else Rectangle(math.nan, math.nan) for member in members]
    grain = [math.degrees(math.atan2(*plated.bodies[i].grain[::-1])) for plated, i, *_ in at]

    def each(read: Any) -> NDArray[Any]:
        return np.array([read(contact) for _, _, contact, _ in at])

    def of_contact(name: str, symbol: str, unit: str, what: str, field: str) -> Given:
        return Given(name, symbol, unit, what, each(lambda contact: getattr(contact, field)), REACH_ASK)

    return material_givens(frame.selection.reference, frame.settled.materials, members, index) | _plate_givens(frame, [(plated, shift) for plated, *_, shift in at]) | named(
        of_contact("contact_area", "A_ef", "mm²", "effective area of the plate on the piece", "area"),
        of_contact("polar_exact", "W_p", "mm³", "∫ r dA over the effective area about its middle", "exact"),
        of_contact("polar_short", "W_p", "mm³", "A_ef d/4, d of a rectangle as large and as high as the effective area", "short"),
        of_contact("bite", "a", "mm", "how far the plate reaches over the piece from the joint line", "bite"),
        of_contact("reach_left", "e_1", "mm", "farthest effective area left of the axis, along the grain", "left"),
        of_contact("reach_right", "e_2", "mm", "farthest effective area right of the axis, along the grain", "right"),
        of_contact("plate_along", "w_pl", "mm", "extent of the effective area along the grain", "along"),
        of_contact("plate_across", "b_pl", "mm", "depth of the piece under the plate", "across"),
        Given("grain_angle", "θ_grain", "°", "direction of the grain", np.array(grain)),
        Given("h", "h", "mm", "depth of the piece", np.array([sections[i].h_mm for i in index])),
        Given("b", "b", "mm", "breadth of one ply", np.array([sections[i].b_mm for i in index])),
        Given("plies", "plies", "1", "plies of the piece", np.array([float(members[i].plies) for i in index])),
        Given("is_splice", "splice", "", "pieces end to end", np.array([plated.is_splice for plated, *_ in at], dtype=np.bool_)),
        Given("is_within", "within", "", "within one piece", np.array([plated.part == "splices" for plated, *_ in at], dtype=np.bool_)),
        Given("touches", "contact", "", "contact in compression counted on", np.array([plated.touches for plated, *_ in at], dtype=np.bool_)),
    )  # fmt: skip


def _line_givens(frame: Frame, joints: Sequence[Plated]) -> dict[str, Given]:
    at = [
        (plated, link, length, shift)
        for plated in joints
        for link in plated.links
        for (length, _), shift in zip(link.spans, plated.shifts, strict=True)
    ]
    return _plate_givens(frame, [(plated, shift) for plated, *_, shift in at]) | named(
        Given("line_length", "l", "mm", "length of the joint line that the plate covers", np.array([length or math.nan for *_, length, _ in at]), LINE_ASK),
        Given("line_angle", "θ_line", "°", "direction of the joint line", np.array([_line_angle(link) for _, link, *_ in at])),
        Given("normal_x", "n_x", "1", "direction square to the joint line, to its near side", np.array([_normal(link)[0] for _, link, *_ in at])),
        Given("normal_y", "n_y", "1", "direction square to the joint line, to its near side", np.array([_normal(link)[1] for _, link, *_ in at])),
        Given("is_within", "within", "", "within one piece", np.array([plated.part == "splices" for plated, *_ in at], dtype=np.bool_)),
    )  # fmt: skip


def _normal(link: Link) -> tuple[float, float]:
    return link.cut.inward if link.cut else (math.nan, math.nan)


def _line_angle(link: Link) -> float:
    x, y = _normal(link)
    return math.degrees(math.atan2(-x, y))


def _plate_givens(frame: Frame, laid: Sequence[tuple[Plated, Shift]]) -> dict[str, Given]:
    """Of the plates at every place; declared values as of one plate."""
    members, at = frame.settled.design.members, [plated for plated, _ in laid]
    plies = [min(members[body.member].plies for body in plated.bodies) for plated in at]
    given = named(
        Given("plates", "plates", "1", "plates that share the force: one on each face of every ply", np.array([2.0 * count for count in plies])),
        Given("faces", "faces", "1", "plates of one ply: one on each face", 2.0),
        Given("plate_angle", "θ_plate", "°", "main direction of the plate", np.array([math.degrees(plated.direction + turn) for plated, (*_, turn) in laid])),
        Given("plate_invented", "invented", "", "values of the plate are invented", np.array([plated.type.invented for plated in at], dtype=np.bool_)),
        *truss_givens(frame).values(),
    )  # fmt: skip
    for field, name, symbol, unit in PER_PLATE:
        ask = f"What does the maker declare for {symbol} of this plate, per plate or per pair? (plate_types, {field} and declared_per)"
        given[name] = Given(name, symbol, unit, "declared, of one plate", np.array([_of_one(plated.type, field) for plated in at]), ask)
    for field, name, symbol, unit in ANGLES:
        ask = f"What does the maker declare for {symbol} of this plate? (plate_types, {field})"
        given[name] = Given(name, symbol, unit, "declared", np.array([_stated(plated.type, field) for plated in at]), ask)
    return given


def _stated(type_: PlateType, field: str) -> float:
    value: float | None = getattr(type_, field)
    return math.nan if value is None else value


def _of_one(type_: PlateType, field: str) -> float:
    share = {"plate": 1.0, "pair": 0.5}.get(type_.declared_per or "", math.nan)
    return share * _stated(type_, field)
