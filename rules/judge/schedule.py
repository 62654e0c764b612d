"""The bracing schedule: piece by piece what is fixed where, what it holds and carries, what takes its force, and what is missing.

It repeats what rules and guards found, for whoever fixes the braces; it decides nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from rules.judge.along import Axis
from rules.judge.braces import items
from rules.judge.framed import Frame
from rules.judge.judgement import Judgement
from rules.judge.node_lines import bare_node_lines
from rules.judge.of_combinations import FORCE_FLOOR
from rules.judge.restraint_guard import UNNEEDED, unheld
from rules.judge.restraints import DECK, Reliance, anchorage
from rules.judge.words import amount
from rules.library.offered import BRACE_FORCE, BRACES_NEEDED, FIXING_FORCE, LINE_FORCE, Offered
from rules.library.rule import Kind
from rules.subject.design import FLOOR_TYPES, ROOF_TYPES, Declined, Design
from rules.subject.fastening import Fasteners
from rules.subject.holding import Bracing

Row = dict[str, Any]
Axes = Mapping[tuple[str, str], Axis]
KINDS = {
    "batten": "battens",
    "board": "boards or sheets",
    "binder": "longitudinal binders",
    "diagonal": "diagonals",
    "chevron": "chevron braces",
    "strongback": "strongbacks",
    "noggin": "noggins",
    "strap": "straps",
}


def bracing_part(frame: Frame, axes: Axes, unsound: Sequence[Judgement]) -> dict[str, Any]:
    """The schedule. stated: how the document speaks of its bracing; rows: items first, then what is missing, then what others see to.
    unsound: what fails or is open."""
    design = frame.settled.design
    relied = frame.reliances
    found = _by_item(unsound)
    rows = [_item(frame, axes, found.get(item.id, []), place, item, relied) for place, item in enumerate(items(design))]
    if design.component_type in (*ROOF_TYPES, *FLOOR_TYPES):
        rows += [*_decked(design, relied), *_strutted(design)]
        rows += _wanted(frame, axes, [each for each in relied if each.status not in ("given", "declined")], _buckling(unsound))
    if design.component_type in ROOF_TYPES:
        rows += list(_bare(frame))
        rows += [dict(TEMPORARY), dict(WIND)]
    return {"stated": _stated(design), "rows": rows}


def _stated(design: Design) -> str:
    if isinstance(design.bracing, Declined):
        return f"left to others: {design.bracing.none_because}"
    if design.bracing is None:
        return "not stated"
    return "there is none" if design.bracing == "none" else "listed"


def _row(item: str, kind: str, where: str, *, status: str, note: str = "", **more: Any) -> Row:
    empty = dict.fromkeys(("section", "fixing", "holds", "each_kn", "line_kn", "anchored_to"))
    return {"item": item, "kind": kind, "where": where, **empty, **more, "status": status, "note": note}


def _by_item(judgements: Iterable[Judgement]) -> dict[str, list[Judgement]]:
    found: dict[str, list[Judgement]] = {}
    for each in judgements:
        if each.element_kind == "brace":
            found.setdefault(each.element_id, []).append(each)
    return found


UNMEASURED = ("board", "strap")
"""Kinds that hold as plates, or hold walls: the forces of single braces say nothing of them."""
TEMPORARY = _row(
    "temporary bracing",
    "",
    "from the first truss on, down to the plates and not to the gable, until all else that is listed here is fixed",
    status="on site",
    note="the builder's to plan: a truss stands only while it is braced (common practice)",
)
WIND = _row(
    "wind bracing",
    "",
    "roof and walls of the building",
    status="own design",
    note="a design of its own, by an engineer: nothing here judges it",
)


def _item(frame: Frame, axes: Axes, own: Sequence[Judgement], place: int, item: Bracing, relied: Sequence[Reliance]) -> Row:
    worst = next((kind for kind in (Kind.FAIL, Kind.OPEN) if any(each.kind is kind for each in own)), None)
    parts = sorted({each.part or each.rule.title for each in own if each.kind is worst}) if worst else []
    return _row(
        item.id,
        KINDS[item.kind],
        _where(item),
        section=_section(item),
        fixing=item.fixing or (f"{_fasteners(item.fasteners)} at each piece" if item.fasteners else None),
        holds=_holds(frame.settled.design, item, relied),
        each_kn=None if item.kind in UNMEASURED else _greatest(axes, FIXING_FORCE, place),
        line_kn=None if item.kind in UNMEASURED else _greatest(axes, LINE_FORCE, place),
        anchored_to=_end(frame.settled.design, item),
        status={None: "given", Kind.FAIL: "fails", Kind.OPEN: "open"}[worst],
        note=", ".join(parts),
    )


def _where(item: Bracing) -> str:
    """Where it goes, for whoever fixes it: "4, on the lower edge of TC1, TC2, at 45° across them"."""
    edge = {"top": "the upper edge of ", "bottom": "the lower edge of ", None: ""}[item.edge]
    parts = (
        f"{item.rows:g}" if item.rows is not None else "",
        f"on {edge}{', '.join(item.members)}" if item.members else "no piece named",
        f"every {item.spacing_mm:g} mm" if item.spacing_mm is not None else "",
        f"at {item.angle_deg:g}° across them" if item.angle_deg is not None else "",
        _reach(item),
    )
    return ", ".join(each for each in parts if each)


def _reach(item: Bracing) -> str:
    """Between which places along the pieces; from end to end where a spacing and no end is stated."""
    if item.from_mm or item.to_mm is not None:
        end = f"{item.to_mm:g} mm" if item.to_mm is not None else "the other end"
        return f"from {item.from_mm or 0:g} mm to {end}, measured from the first node"
    return "from end to end" if item.spacing_mm is not None else ""


def _fasteners(fasteners: Fasteners) -> str:
    return f"{fasteners.count} {fasteners.kind}{'s' * (fasteners.count > 1)} {fasteners.diameter_mm:g} × {fasteners.length_mm:g} mm"


def _section(item: Bracing) -> str | None:
    sides = "" if item.section is None else f"{max(item.section):g} × {min(item.section):g} mm"
    return " ".join(each for each in (sides, item.grade) if each) or None


def _holds(design: Design, item: Bracing, relied: Sequence[Reliance]) -> str:
    held = [each for each in relied if item.id in each.given_by]
    takes = [other.id for other in items(design) if other.anchored_to == item.id]
    words = [f"{design.members[each.member].id} ({each.words})" for each in held]
    return "; ".join([*words, *([f"what {', '.join(takes)} collect"] if takes else [])])


def _end(design: Design, item: Bracing) -> str | None:
    end = anchorage(design, item)
    by = f", by {_fasteners(item.anchor.fasteners)}" if item.anchor and item.anchored_to else ""
    return f"{item.anchored_to}{by}" if by and item.anchored_to == end else _through(item.anchored_to, by, end)


def _through(first: str | None, by: str, end: str | None) -> str | None:
    return first if first == end else f"{first}{by}, and so {end or 'nobody says what'}"


def _greatest(axes: Axes, offered: Offered, place: int) -> float | None:
    """The greatest force over all combinations in kN; None where no rule asks for it or it cannot be known."""
    axis = axes.get(("ultimate", offered.over))
    if axis is None or offered.name not in axis.evidence.book:
        return None
    return _kn(float(axis.most(offered.name)[place]))


def _kn(force: float) -> float | None:
    """N in kN, nought where it is but rounding; None where it cannot be known."""
    return None if math.isnan(force) else force / 1000.0 if force > FORCE_FLOOR else 0.0


def _decked(design: Design, relied: Sequence[Reliance]) -> list[Row]:
    """The deck of a floor, where a piece relies on it and no item of bracing stands for it."""
    held = [each for each in relied if DECK in each.given_by]
    if not held or design.floor is None or design.floor.deck is None:
        return []
    names = ", ".join(dict.fromkeys(design.members[each.member].id for each in held))
    holds = "; ".join(f"{design.members[each.member].id} ({each.words})" for each in held)
    note = "fixed to every joist at least as close as that, and to the walls"
    return [
        _row(
            "deck",
            "boards or sheets",
            f"on the upper edge of {names}",
            section=design.floor.deck.what,
            holds=holds,
            status="given",
            note=note,
        )
    ]


def _strutted(design: Design) -> list[Row]:
    """Strutting that the floor states and counts on, where no item of bracing stands for it."""
    rows = design.floor.strutting_rows if design.floor and design.component_type in FLOOR_TYPES else None
    if not rows or any(item.kind in ("noggin", "strongback") for item in items(design)):
        return []
    where = "1 row, at mid-span, between all joists" if rows == 1 else f"{rows} rows, evenly along the span, between all joists"
    return [_row("strutting", "", where, holds="the joists upright", status="given", note="of what timber, the design does not say")]


def _wanted(frame: Frame, axes: Axes, lacking: Sequence[Reliance], buckling: Sequence[int]) -> list[Row]:
    """What is not there: braces that pieces rely on, and braces that pieces would need."""
    if not lacking and not buckling:
        return []
    forces = _forces(frame, axes)
    return [*(_missing(frame, axes, each, forces) for each in lacking), *(_needed(frame, axes, index, forces) for index in buckling)]


def _missing(frame: Frame, axes: Axes, relied: Reliance, forces: Sequence[float | None]) -> Row:
    name = frame.settled.design.members[relied.member].id
    found = unheld(axes, relied) if relied.status == "missing" else None
    note = "; ".join(each for each in (*relied.why, relied.ask, _carried(name, relied, found)) if each)
    return _row(
        "brace not given", "", f"{name}: {relied.words}", holds=name, each_kn=forces[relied.member], status=relied.status, note=note
    )


def _carried(name: str, relied: Reliance, found: tuple[float, float, str] | None) -> str:
    """What a piece carries without the brace it relies on; found: (needed, carried, combination)."""
    if found is None:
        return ""
    needed, carried = (amount(each, "N" if relied.side == "sideways" else "N·mm") for each in found[:2])
    if found[1] >= found[0]:
        return f"without it {name} carries {carried}, and {needed} is needed: for this {UNNEEDED}"
    return f"without it {name} carries {carried} of the {needed} needed"


def _forces(frame: Frame, axes: Axes) -> Sequence[float | None]:
    """The greatest force in kN with which each piece pushes at a brace; None where no rule asks for it or it cannot be known."""
    axis = axes.get(("ultimate", "member"))
    if axis is None or BRACE_FORCE.name not in axis.evidence.book:
        return [None] * len(frame.settled.design.members)
    return [*map(_kn, np.maximum.reduceat(axis.most(BRACE_FORCE.name), axis.starts).tolist())]


def _buckling(judgements: Iterable[Judgement]) -> list[int]:
    """Pieces that fail by buckling: a brace may be what they want."""
    failing = (each.element_index for each in judgements if each.kind is Kind.FAIL and each.rule.slug == "compression")
    return sorted(set(failing))


def _needed(frame: Frame, axes: Axes, index: int, forces: Sequence[float | None]) -> Row:
    member = frame.settled.design.members[index]
    rows = _rows_needed(axes, index)
    where = f"{member.id}: sideways"
    if rows is None:
        return _row("brace wanted", "", where, holds=member.id, status="missing", note="it buckles, and braces alone do not mend that")
    places = "at mid-length" if rows == 1 else f"{rows} of them, evenly spaced"
    note = f"it buckles over its own length; binders {places} over all pieces alike, anchored by diagonals, let it carry its push"
    return _row("brace wanted", "longitudinal binders", where, holds=member.id, each_kn=forces[index], status="missing", note=note)


def _rows_needed(axes: Axes, index: int) -> int | None:
    """The fewest braces, evenly spaced, with which the piece carries its push; None where the code in force does not say or none do."""
    axis = axes.get(("ultimate", "member"))
    if axis is None or BRACES_NEEDED.name not in axis.evidence.book:
        return None
    needed = float(axis.most(BRACES_NEEDED.name)[axis.slices[index]].max())
    return int(needed) if math.isfinite(needed) else None


def _bare(frame: Frame) -> Iterator[Row]:
    bare: dict[str, list[str]] = {}
    for member, node in bare_node_lines(frame.settled.design, frame.geometry):
        bare.setdefault(member, []).append(node)
    for member, nodes in bare.items():
        where = f"{member}: at {'nodes' if len(nodes) > 1 else 'node'} {', '.join(nodes)}"
        note = "common practice wants a longitudinal binder at every joint but those over the bearings"
        yield _row("binder not listed", "longitudinal binders", where, status="not listed", note=note)
