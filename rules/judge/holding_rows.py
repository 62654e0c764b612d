"""Facts of roof, building, bracing and what was measured for declared rules: the same for every element of a design."""

from __future__ import annotations

from collections.abc import Iterable

from rules.judge.braces import DIAGONALS, items
from rules.judge.framed import Frame
from rules.judge.node_lines import bare_node_lines
from rules.judge.openings import openings
from rules.library.rows import FactValue
from rules.subject.design import Declined, Design
from rules.subject.frame import Treatment
from rules.subject.holding import AsBuilt
from rules.subject.site import Building, Floor, Roof

Row = dict[str, FactValue]
SLOPING, CEILING = ("rafter", "top-chord"), ("ceiling-tie", "bottom-chord")
INSIDE = ("web", "post", "strut")


def holding_row(frame: Frame) -> Row:
    """What holds the component, and where it is."""
    design = frame.settled.design
    return _roof(design.roof or Roof(), design.building or Building()) | _bracing(frame) | _measured(design) | _ends(frame)


def _roof(roof: Roof, building: Building) -> Row:
    return {
        "roof.eaves_height_m": roof.eaves_height_m,
        "roof.ceiling": roof.ceiling,
        "roof.bracing_by": roof.bracing_by,
        "roof.exposure": None if roof.exposed is None else "exposed" if roof.exposed else "sheltered",
        "roof.wall_run_m": roof.wall_run_m,
        "roof.tank_litres": roof.tank_litres,
        "roof.tank_trusses": _number(roof.tank_trusses),
        "building.use": building.use,
        "building.storeys": _number(building.storeys),
    }


def _bracing(frame: Frame) -> Row:
    design = frame.settled.design
    stated, listed = design.bracing is not None, design.bracing is not None and not isinstance(design.bracing, Declined)

    def counted(kinds: Iterable[str], roles: Iterable[str] | None = None) -> float | None:
        return _count(design, kinds, roles) if listed else None

    floor = design.floor or Floor()
    straps = [item.spacing_mm for item in items(design) if item.kind == "strap"]
    return {
        "bracing.stated": stated,
        "bracing.strongback_rows": counted(["strongback"]),
        "bracing.noggin_rows": _most(counted(["noggin"]), floor.noggin_rows),
        "bracing.strutting_rows": _most(counted(["noggin"]), floor.noggin_rows, floor.strutting_rows),
        "bracing.diagonal_count": counted(["diagonal"]),
        "bracing.rafter_diagonal_count": counted(["diagonal"], SLOPING),
        "bracing.ceiling_diagonal_count": counted(["diagonal"], CEILING),
        "bracing.web_diagonal_count": counted(DIAGONALS, INSIDE),
        "bracing.bare_node_count": float(len(bare_node_lines(design, frame.geometry))) if listed else None,
        "bracing.strap_spacing_mm": None if None in straps else max((each for each in straps if each is not None), default=None),
    }


def _count(design: Design, kinds: Iterable[str], roles: Iterable[str] | None) -> float:
    """Rows of the items of these kinds that name a piece of these roles; of any, where no role is asked for."""
    wanted = set(kinds)
    named = None if roles is None else {member.id for member in design.members if member.role in roles}
    chosen = (each for each in items(design) if each.kind in wanted and (named is None or named & set(each.members)))
    return float(sum(1 if each.rows is None else each.rows for each in chosen))


def _most(*told: float | None) -> float | None:
    """The most of what the bracing lists and the floor states; None where neither says."""
    return max((float(each) for each in told if each is not None), default=None)


def _measured(design: Design) -> Row:
    built = design.as_built or AsBuilt()
    return {
        "as_built.clear_width_mm": built.clear_width_mm,
        "as_built.bow_mm": built.bow_mm,
        "as_built.out_of_plumb_mm": built.out_of_plumb_mm,
    }


def _ends(frame: Frame) -> Row:
    design = frame.settled.design
    hung = [support for support in design.supports if support.seat and support.seat.on == "hanger"]
    horns = [support.seat.horn_mm for support in hung if support.seat and support.seat.horn_mm is not None]
    slopes = {
        line.cos * line.sin > 0.0 for member, line in zip(design.members, frame.geometry.lines, strict=True) if member.role in SLOPING
    }
    return {
        "design.overall_length_mm": design.overall_length_mm,
        "design.load_width_mm": design.load_width_mm,
        "design.hung_ends": float(len(hung)),
        "design.horn_mm": min(horns, default=None),
        "design.opening_count": float(len(openings(design, frame.geometry))),
        "design.opening_to_bearing_mm": min((each.bearing_mm for each in openings(design, frame.geometry)), default=0.0),
        "design.is_mono_pitch": len(slopes) == 1,
        "design.treated_count": float(sum(isinstance(member.treatment, Treatment) for member in design.members)),
    }


def _number(count: int | None) -> float | None:
    return None if count is None else float(count)
