"""One row of facts per element for declared rules: the names of rules.library.facts, filled in from design and evidence."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from rules.judge.along import Axis
from rules.judge.brace_rows import brace_row
from rules.judge.braces import items
from rules.judge.cut_rows import cut_row
from rules.judge.framed import Frame
from rules.judge.holding_rows import holding_row
from rules.judge.mechanics import mass_per_mm
from rules.library.rows import FactValue
from rules.library.rule import Scope
from rules.subject.design import FLOOR_TYPES, ROOF_TYPES
from rules.subject.frame import Prism, Treatment

Row = dict[str, FactValue]
Axes = Mapping[tuple[str, str], Axis]


def common_row(frame: Frame) -> Row:
    """Facts of the whole design, the same for all its elements."""
    return _design(frame) | _site(frame) | holding_row(frame)


def rows(scope: Scope, frame: Frame, axes: Axes, common: Row) -> Iterator[tuple[str, Row]]:
    """(element id, facts) in element order; a fact not stated is None. common: those of the whole design."""
    design = frame.settled.design
    if scope is Scope.MEMBER:
        for index, member in enumerate(design.members):
            yield member.id, common | _member(frame, axes, index)
    elif scope is Scope.SUPPORT:
        for index, support in enumerate(design.supports):
            yield support.id, common | _support(frame, axes, index)
    elif scope is Scope.BRACE:
        for item in items(design):
            yield item.id, common | brace_row(design, item)
    else:
        yield design.reference, common


def _design(frame: Frame) -> Row:
    settled = frame.settled
    design, lines = settled.design, frame.geometry.lines
    held = sorted(frame.geometry.xy[frame.geometry.at[s.node], 0] for s in design.supports if "y" in s.holds or s.springs.y_kn_per_mm)
    pitches = [
        math.degrees(line.slope) for member, line in zip(design.members, lines, strict=True) if member.role in ("rafter", "top-chord")
    ]
    mass = sum(
        mass_per_mm(member, material) * line.length for member, material, line in zip(design.members, settled.materials, lines, strict=True)
    )
    return {
        "design.component_type": design.component_type,
        "design.is_roof": design.component_type in ROOF_TYPES,
        "design.is_floor": design.component_type in FLOOR_TYPES,
        "design.spacing_mm": design.spacing_mm,
        "design.count": None if design.count is None else float(design.count),
        "design.span_mm": float(np.diff(held).max()) if len(held) > 1 else 0.0,
        "design.height_mm": float(np.ptp(frame.geometry.xy[:, 1])),
        "design.pitch_deg": max(pitches, default=0.0),
        "design.member_count": float(len(design.members)),
        "design.support_count": float(len(design.supports)),
        "design.carries_snow": any(action.nature == "snow" and action.loads for action in design.actions),
        "design.joints_described": design.joints is not None,
        "design.mass_kg": mass,
    }


def _site(frame: Frame) -> Row:
    site = frame.settled.design.site
    return {
        "site.country": site.country,
        "site.subdivision": site.subdivision,
        "site.district": site.district,
        "site.parish": site.parish,
        "site.postcode": site.postcode,
        "site.altitude_m": site.altitude_m,
        "site.wind_speed_m_per_s": site.wind_speed_m_per_s,
        "site.terrain": site.terrain,
        "site.snow_ground_edition": site.snow_ground_edition,
        "site.latitude_deg": site.latitude_deg,
        "site.termites": site.termites,
        "site.termite_protection": site.termite_protection,
        "site.service_class": float(frame.settled.service_class),
    }


def _member(frame: Frame, axes: Axes, index: int) -> Row:
    settled = frame.settled
    member, material, line = settled.design.members[index], settled.materials[index], frame.geometry.lines[index]
    against = member.treatment.against if isinstance(member.treatment, Treatment) else ()
    rectangle = None if isinstance(member.section, Prism) else member.section
    pull, push = _axial(axes, index)
    return {
        "member.id": member.id,
        "member.role": member.role,
        "member.grade": member.grade,
        "member.material_kind": material.kind,
        "member.is_timber": material.kind != "steel" and rectangle is not None,
        "member.wood": None if material.softwood is None else "softwood" if material.softwood else "hardwood",
        "member.length_mm": line.length,
        "member.longest_bay_mm": max(line.bays),
        "member.b_mm": rectangle.b_mm if rectangle else 0.0,
        "member.h_mm": rectangle.h_mm if rectangle else 0.0,
        "member.plies": float(member.plies),
        "member.slope_deg": math.degrees(line.slope),
        "member.treatment": None if member.treatment is None else "+".join(against) or "none",
        "member.treatment_class": _treatment_class(member.treatment),
        "member.treated_against_insects": "insects" in against,
        "member.treated_against_decay": "decay" in against,
        "member.treated_against_termites": "termites" in against,
        "member.compression_max_kn": push,
        "member.tension_max_kn": pull,
        "member.hole_count": float(len(member.holes)),
        "member.notch_count": float(len(member.notches)),
        **cut_row(frame, index),
    }


def _treatment_class(treatment: Treatment | str | None) -> str | None:
    """The class as stated; "" for a piece stated to be untreated, which is for none."""
    return treatment.use_class if isinstance(treatment, Treatment) else None if treatment is None else ""


def _axial(axes: Axes, index: int) -> tuple[float | None, float | None]:
    """Greatest tension and compression over the ultimate combinations, kN, both >= 0; NaN combinations are left to their own open."""
    if ("ultimate", "member") not in axes:
        return 0.0, 0.0
    axis = axes["ultimate", "member"]
    forces = axis.evidence["n"][:, axis.slices[index]] / 1000.0
    return _most(forces, 0.0), _most(-forces, 0.0)


def _most(values: NDArray[np.float64], least: float = -math.inf) -> float | None:
    """The greatest of those that are known, and no less than `least`; None where none is known."""
    found = float(np.fmax.reduce(values, axis=None))
    return None if math.isnan(found) else max(found, least)


def _most_of(sets: Sequence[NDArray[np.float64]], least: float = -math.inf) -> float | None:
    """The greatest over several sets of combinations, 0 where there is none; None where one of them is not known."""
    found = [_most(values, least) for values in sets]
    known = [each for each in found if each is not None]
    return max(known, default=0.0) if len(known) == len(found) else None


def _support(frame: Frame, axes: Axes, index: int) -> Row:
    settled, design = frame.settled, frame.settled.design
    support, seat = design.supports[index], design.supports[index].seat
    found = next((gap for gap in design.as_built.at_supports if gap.support == support.id), None) if design.as_built else None
    down = [axes[name, "support"].evidence["down"][:, index] / 1000.0 for name in ("ultimate", "equilibrium") if (name, "support") in axes]
    return {
        "support.id": support.id,
        "support.seat_on": seat.on if seat else None,
        "support.member_role": None if settled.seat_members[index] is None else design.members[settled.seat_members[index] or 0].role,
        "support.is_end": support.node in _ends_of(frame),
        "support.offset_stated": seat is not None and seat.offset_mm != (0.0, 0.0),
        "support.has_strap": support.held_down_by is not None,
        "support.strap_bearings": _stated(support.held_down_by.bearings if support.held_down_by else None),
        "support.hanger_fixed": next((hanger.fixed for hanger in design.hangers if hanger.support == support.id), None),
        "support.bearing_mm": seat.length_mm if seat else None,
        "support.bearing_found_mm": found.bearing_mm if found else None,
        "support.gap_specified_mm": seat.gap_specified_mm if seat else None,
        "support.gap_found_mm": found.gap_mm if found else None,
        "support.down_max_kn": _most_of(down[:1]),
        "support.up_max_kn": _most_of([-each for each in down], 0.0),
    }


def _stated(count: int | None) -> float | None:
    return None if count is None else float(count)


def _ends_of(frame: Frame) -> set[str]:
    """The nodes of the outermost supports."""
    across = {support.node: frame.geometry.xy[frame.geometry.at[support.node], 0] for support in frame.settled.design.supports}
    return {node for node, x in across.items() if x in (min(across.values()), max(across.values()))}
