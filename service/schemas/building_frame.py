"""Accepted values of pieces, supports and shapes to their dataclasses."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from rules.subject.frame import (
    Cut,
    DeclaredCapacity,
    End,
    Member,
    Prism,
    Rectangle,
    Restraints,
    Seat,
    Settlement,
    Springs,
    Support,
    Treatment,
)
from rules.subject.joints import PlyNailing
from rules.subject.shape import Make, Shape
from service.schemas.building_holding import build_strap
from service.schemas.picking import Values, optional, pair, take, without


def build_member(values: Values) -> Member:
    """One piece of timber."""
    ends, offsets = values.get("ends", {}), values.get("offset_mm", {})
    return Member(
        **take(values, "id", "role", "grade", "plies"),
        nodes=tuple(values["nodes"]),
        section=_section(values["section"]),
        start=_end(ends.get("start", "pinned")),
        end=_end(ends.get("end", "pinned")),
        start_offset_mm=pair(offsets, "start"),
        end_offset_mm=pair(offsets, "end"),
        restraints=Restraints(**values.get("restraint_spacing", {})),
        treatment=_treatment(values.get("treatment")),
        holes=tuple(Cut(**cut) for cut in values.get("holes", ())),
        notches=tuple(Cut(**cut) for cut in values.get("notches", ())),
        ply_nailing=optional(values.get("ply_nailing"), lambda nails: PlyNailing(**nails)),
    )


def build_support(values: Values) -> Support:
    """One support, with its seat and what holds it down."""
    return Support(
        **take(values, "id", "node", "inclined_deg", "uplift", "thrust_by"),
        holds=tuple(values["holds"]),
        springs=Springs(**values.get("springs", {})),
        settlement=Settlement(*pair(values, "settlement_mm")),
        seat=optional(values.get("seat"), _seat),
        held_down_by=optional(values.get("held_down_by"), build_strap),
    )


def build_shape(values: Values) -> Shape:
    """A trade shape and what its pieces are made of."""
    pieces = {role: _make(make) for role, make in values.get("pieces", {}).items()}
    return Shape(**without(values, "pieces"), pieces=pieces)


def _make(values: Values) -> Make:
    return Make(
        **take(values, "grade", "plies"),
        section=_section(values["section"]),
        restraints=Restraints(**values.get("restraint_spacing", {})),
        treatment=_treatment(values.get("treatment")),
    )


def _section(values: Values) -> Rectangle | Prism:
    if "b_mm" in values:
        return Rectangle(**values)
    capacity = optional(values.get("declared"), lambda declared: DeclaredCapacity(**declared))
    return Prism(**without(values, "declared"), capacity=capacity)


def _end(value: Any) -> End:
    return value["knm_per_rad"] if isinstance(value, Mapping) else value  # type: ignore[no-any-return]  # the schema saw to it


def _treatment(value: Any) -> Treatment | Literal["none"] | None:
    if not isinstance(value, Mapping):
        return value  # type: ignore[no-any-return]  # the schema saw to it
    return Treatment(tuple(value["against"]), value.get("standard"), value.get("class"), value.get("reference"))


def _seat(values: Values) -> Seat:
    section = optional(values.get("section"), lambda rectangle: Rectangle(**rectangle))
    return Seat(**without(values, "offset_mm", "section"), offset_mm=pair(values, "offset_mm"), section=section)
