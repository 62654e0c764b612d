"""Givens of a floor of joists: stiffness along and across, what always lies on it, its spans. One place: the design."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

import solver
from rules.judge.cases import SELF_WEIGHT
from rules.judge.framed import Frame
from rules.judge.properties import named
from rules.judge.span import free_overhang
from rules.library.given import Given
from rules.library.labels import Labels
from rules.subject.axes import TOLERANCE_MM
from rules.subject.design import FLOOR_TYPES, Design
from rules.subject.frame import Member, Rectangle
from rules.subject.material import MODULUS
from rules.subject.site import Floor

LEVEL = 0.999
"""Cosine above which a piece lies level."""
SPACING_ASK = "At what spacing do the joists stand? (spacing_mm)"
WIDTH_ASK = "How wide is the floor, square to the joists? (floor.width_mm)"
DECK_ASK = 'How stiff is the deck across the joists? (floor.deck: {"thickness_mm", "e_mpa"}, or floor.transverse_stiffness_nm2_per_m)'
STIFFNESS_ASK = (
    "How stiff is one joist in bending? Only rectangular joists, and joists of two level chords of timber with webs between them, are "
    "worked out here."
)
SPAN_ASK = "Where do the joists bear? A floor needs two supports that hold it up."


WORDS: tuple[tuple[str, str, str, str, str], ...] = (
    ("joist_spacing", "s", "mm", "spacing of the joists", SPACING_ASK),
    ("floor_width", "B", "mm", "width of the floor", WIDTH_ASK),
    ("deck_stiffness", "(EI)_b", "N·m²/m", "bending stiffness across the joists", DECK_ASK),
    ("joist_stiffness", "(EI)_joist", "N·mm²", "bending stiffness of one joist; of a truss, its chords alone", STIFFNESS_ASK),
    ("joist_depth", "h", "mm", "depth of one joist", ""),
    ("longest_span", "l", "mm", "longest span", SPAN_ASK),
    ("span_alone", "l_1", "mm", "the span of a joist that has one", ""),
    ("span_end", "l_end", "mm", "longest end span of a continuous joist", ""),
    ("span_inner", "l_in", "mm", "longest inner span of a continuous joist", ""),
    ("permanent_even", "g", "N/mm", "permanent load spread evenly over the joist", ""),
    ("permanent_uneven", "G", "N", "permanent load that is not", ""),
    ("strutting_rows", "rows", "1", "rows of strutting", ""),
    ("blocking_depth", "h_bl", "mm", "depth of the blocking between the joists", ""),
)
"""Name, symbol, unit, words and question of every number."""


def floor_givens(frame: Frame) -> dict[str, Given]:
    """What the vibration of a floor depends on; of a design that is no floor only that it is none."""
    design = frame.settled.design
    is_floor = design.component_type in FLOOR_TYPES
    held = sorted(x for x, _ in _bearings(frame))
    numbers = _numbers(frame, held) if is_floor else {}
    return named(
        *(Given(name, symbol, unit, what, numbers.get(name, math.nan), ask if is_floor else "") for name, symbol, unit, what, ask in WORDS),
        Given("is_floor", "floor", "", "a floor of joists", np.array(is_floor)),
        Given("floor_kind", "kind of joist", "", "solid joists, or trusses with mechanical joints", Labels.one(_kind(design))),
        Given("continuity", "spans", "", "one span, or several", Labels.one("continuous" if len(held) > 2 else "single")),
        Given("is_dwelling", "dwelling", "", "imposed load of dwellings only", np.array(_dwelling(design))),
        Given("is_beyond", "beyond", "", "overhangs, springs, bays without a diagonal", np.array(is_floor and _beyond(frame, held))),
    )


def _numbers(frame: Frame, held: list[float]) -> dict[str, float]:
    design = frame.settled.design
    floor = design.floor or Floor()
    spans = [after - before for before, after in pairwise(held)]
    even, uneven = _permanent(frame, held)
    return {
        "joist_spacing": math.nan if design.spacing_mm is None else design.spacing_mm,
        "floor_width": math.nan if floor.width_mm is None else floor.width_mm,
        "deck_stiffness": _across(floor),
        "joist_stiffness": _stiffness(frame),
        "joist_depth": _depth(frame),
        "longest_span": max(spans, default=math.nan),
        "span_alone": spans[0] if len(spans) == 1 else 0.0,
        "span_end": max(spans[0], spans[-1]) if len(spans) > 1 else 0.0,
        "span_inner": max(spans[1:-1], default=0.0),
        "permanent_even": even,
        "permanent_uneven": uneven,
        "strutting_rows": float(floor.strutting_rows or 0),
        "blocking_depth": _blocking(design),
    }


def _kind(design: Design) -> str:
    return "solid" if design.component_type == "solid-joist" else "jointed-truss"


def _across(floor: Floor) -> float:
    """N·m²/m: stated as a whole, or the deck's E t³/12; N·mm²/mm is a thousandth of N·m²/m."""
    if floor.transverse_stiffness_nm2_per_m is not None:
        return floor.transverse_stiffness_nm2_per_m
    deck = floor.deck
    if deck is None or deck.thickness_mm is None or deck.e_mpa is None:
        return math.nan
    return deck.e_mpa * deck.thickness_mm**3 / 12.0 / 1000.0


def _bearings(frame: Frame) -> Iterator[tuple[float, bool]]:
    """x of every support that holds the joist up or springs under it, and whether it is a spring."""
    for support in frame.settled.design.supports:
        sprung = support.springs.y_kn_per_mm is not None
        if sprung or "y" in support.holds:
            yield float(frame.geometry.xy[frame.geometry.at[support.node], 0]), sprung


def _joists(frame: Frame) -> list[int]:
    return [i for i, member in enumerate(frame.settled.design.members) if member.role == "joist"]


def _chords(frame: Frame, role: str) -> list[int]:
    return [i for i, member in enumerate(frame.settled.design.members) if member.role == role]


def _stiffness(frame: Frame) -> float:
    """N·mm² of one joist by mean moduli: the rectangle's, or of two level chords about their common axis; NaN for anything else."""
    if _kind(frame.settled.design) == "solid":
        return min((_own(frame, i) for i in _joists(frame)), default=math.nan)
    lower, upper = _chords(frame, "bottom-chord"), _chords(frame, "top-chord")
    return min((_pair(frame, a, b) for a in lower for b in upper), default=math.nan)


def _own(frame: Frame, index: int) -> float:
    """E I of one rectangular piece, all plies."""
    member = frame.settled.design.members[index]
    if not isinstance(member.section, Rectangle) or abs(frame.geometry.lines[index].cos) < LEVEL:
        return math.nan
    return _modulus(frame, index) * member.plies * member.section.b_mm * member.section.h_mm**3 / 12.0


def _pair(frame: Frame, lower: int, upper: int) -> float:
    members, lines = frame.settled.design.members, frame.geometry.lines
    axial = [_modulus(frame, i) * _area(members[i]) for i in (lower, upper)]
    apart = lines[upper].start[1] - lines[lower].start[1]
    return axial[0] * axial[1] / (axial[0] + axial[1]) * apart**2 + _own(frame, lower) + _own(frame, upper)


def _modulus(frame: Frame, index: int) -> float:
    return frame.settled.materials[index].properties[MODULUS]


def _area(member: Member) -> float:
    return member.plies * member.section.b_mm * member.section.h_mm if isinstance(member.section, Rectangle) else math.nan


def _depth(frame: Frame) -> float:
    sections = (frame.settled.design.members[i].section for i in _joists(frame))
    return max((section.h_mm for section in sections if isinstance(section, Rectangle)), default=math.inf)


def _blocking(design: Design) -> float:
    """mm; 0 without any whose section is stated."""
    items = design.bracing if isinstance(design.bracing, tuple) else ()
    return max((item.section[1] for item in items if item.kind == "noggin" and item.section), default=0.0)


def _dwelling(design: Design) -> bool:
    return all((action.category or "").startswith("A") for action in design.actions if action.nature == "imposed" and action.loads)


def _permanent(frame: Frame, held: list[float]) -> tuple[float, float]:
    """N/mm that lies evenly over all spans, and N that does not, down positive; upward load takes nothing away."""
    even = uneven = 0.0
    for each, loads in zip(frame.settled.actions, frame.cases, strict=True):
        if each.id == SELF_WEIGHT:
            even += sum(_down(load) for load in loads) / float(np.ptp(frame.geometry.xy[:, 0]))
        elif each.action.nature == "permanent":
            parts = [(_evenly(frame, load, held), load) for load in loads]
            even += sum(evenly for evenly, _ in parts)
            uneven += sum(max(_down(load) - evenly * _reach(load), 0.0) for evenly, load in parts)
    return even, uneven


def _down(load: solver.Load) -> float:
    """N, the whole of one load."""
    if isinstance(load, solver.LineLoad):
        return -(load.qy[0] + load.qy[1]) / 2.0 * _reach(load)
    return -load.fy if isinstance(load, solver.PointLoad | solver.NodeLoad) else 0.0


def _reach(load: solver.Load) -> float:
    return load.end - load.start if isinstance(load, solver.LineLoad) else 0.0


def _evenly(frame: Frame, load: solver.Load, held: list[float]) -> float:
    """N/mm of one load that lies over all spans of a level piece."""
    if not isinstance(load, solver.LineLoad) or not held:
        return 0.0
    line = frame.geometry.lines[load.piece]
    ends = sorted(line.start[0] + line.cos * at for at in (load.start, load.end))
    over = abs(line.cos) > LEVEL and ends[0] <= held[0] + TOLERANCE_MM and ends[1] >= held[-1] - TOLERANCE_MM
    return max(min(-load.qy[0], -load.qy[1]), 0.0) if over else 0.0


def _beyond(frame: Frame, held: list[float]) -> bool:
    """Whether something keeps the formulas for a joist between firm supports from holding."""
    return any(sprung for _, sprung in _bearings(frame)) or _overhangs(frame, held) or _open_panel(frame)


def _overhangs(frame: Frame, held: list[float]) -> bool:
    """Whether timber hangs free beyond the outer bearings."""
    x = frame.geometry.xy[:, 0]
    return bool(held) and free_overhang(max(held[0] - x.min(), x.max() - held[-1]), frame.settled.design) > 0.0


def _open_panel(frame: Frame) -> bool:
    """Whether a joist with webs has a bay without a diagonal, such as an opening for services."""
    return _kind(frame.settled.design) != "solid" and not frame.settled.triangulated
