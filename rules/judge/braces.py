"""Givens of every item of bracing: the brace as a piece, what it holds, how its force leaves it. One place an item."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from rules.judge.fastened import BRACES, fastener_givens
from rules.judge.fixing import Fixing
from rules.judge.framed import Frame
from rules.judge.properties import kind_of, material_givens, named
from rules.judge.restraints import HOLDING
from rules.judge.strengths import stiffness, strength_givens, usable
from rules.library.evidence import Evidence
from rules.library.given import Given
from rules.library.labels import Labels
from rules.library.offered import BRACE_FORCE, BRACED_COMPRESSION
from rules.subject.design import FLOOR_TYPES, Design
from rules.subject.frame import Member, Rectangle
from rules.subject.holding import FIELDS, Bracing, Strength
from rules.subject.material import Material

Floats = NDArray[np.float64]
Places = NDArray[np.intp]
SHEETS = ("board",)
STRUTTING = ("strongback", "noggin")
"""Kinds that spread load between the joists of a floor; in a roof they are braces like others."""
DIAGONALS = ("diagonal", "chevron")
COUNT_ASK = "How many components alike stand in a row? (count)"
GRADE_ASK = "Of which grade is the brace? (bracing.grade)"
SECTION_ASK = "What is the brace's section? (bracing.section)"
SPACING_ASK = "How far apart do the components stand? (spacing_mm)"
ROWS_ASK = "How many diagonals are there? Every piece named lies in a plane of its own and wants one at least. (bracing.rows)"
ANGLE_ASK = "At what angle to the line square to the pieces do the diagonals run? (bracing.angle_deg)"
APART_ASK = "How far apart are these braces along the piece? (bracing.spacing_mm)"
FIXING_ASK = "What do the fixings of this brace to one piece carry, or which nails, screws or bolts are they? (bracing.fixing_capacity or bracing.fasteners)"
ANCHOR_ASK = "What does the place carry that takes this brace's force in the end? (bracing.anchor_capacity)"
FIRM_ASK = "How far do these fixings slip? (bracing.fixing_capacity.stiffness_kn_per_mm)"
ANCHOR_FIRM_ASK = "How far does the anchorage slip? (bracing.anchor_capacity.stiffness_kn_per_mm)"
HELD_ASK = "What push do the pieces it holds have? See what is open on them."


def items(design: Design) -> tuple[Bracing, ...]:
    """The bracing as listed; nothing where it is not listed."""
    return design.bracing if isinstance(design.bracing, tuple) else ()


def brace_givens(frame: Frame) -> dict[str, Given]:
    """Every item of the bracing."""
    design = frame.settled.design
    listed = items(design)
    materials = frame.settled.brace_materials
    given = material_givens(frame.selection.reference, materials, (None,) * len(listed), np.arange(len(listed)))
    if None in materials:  # one question, not one for every property of a grade nobody named
        given |= {each.name: given[each.name]._replace(ask=GRADE_ASK) for each in frame.selection.reference}
    given["kind"] = Given("kind", "material", "", "kind of material", Labels.of([kind_of(each) for each in materials]), GRADE_ASK)
    return given | named(*_sections(design, listed), *_lines(frame, listed), *_ends(listed), *fastener_givens(_fixings(frame), BRACES))


def _fixings(frame: Frame) -> list[Fixing]:
    """Of every item: through the brace, or the steel of one, into the pieces it names. None where no item is fastened."""
    if not any(item.fasteners for item in items(frame.settled.design)):
        return []
    members, materials = (
        frame.settled.design.members,
        dict(zip((m.id for m in frame.settled.design.members), frame.settled.materials, strict=True)),
    )
    listed = zip(items(frame.settled.design), frame.settled.brace_materials, strict=True)
    return [_fixing(item, material, [m for m in members if m.id in item.members], materials) for item, material in listed]


def _fixing(item: Bracing, material: Material | None, held: Sequence[Member], materials: Mapping[str, Material]) -> Fixing:
    steel = item.fasteners is not None and item.fasteners.plate_mm is not None
    through = 0.0 if steel else min(item.section) if item.section else math.nan
    room, across = (min((side(member, item.edge) for member in held), default=math.nan) for side in (_room, _across))
    point = tuple(materials[member.id] for member in held)
    return Fixing(item.fasteners, through, room, across, () if steel else (material,), point, one_of_many=item.kind in FIELDS)


def _room(member: Member, edge: str | None) -> float:
    """Timber along a fastener: the depth from an edge, the width from a face."""
    if not isinstance(member.section, Rectangle):
        return math.nan
    return member.section.h_mm if edge else member.section.b_mm * member.plies


def _across(member: Member, edge: str | None) -> float:
    """Timber square to a fastener and to the grain: the width in an edge, the depth in a face."""
    if not isinstance(member.section, Rectangle):
        return math.nan
    return member.section.b_mm * member.plies if edge else member.section.h_mm


def _sections(design: Design, listed: Sequence[Bracing]) -> tuple[Given, ...]:
    """The brace as a piece of timber, free between two components."""
    sides = [each.section or (math.nan, math.nan) for each in listed]
    thin, wide = np.array([min(each) for each in sides]), np.array([max(each) for each in sides])
    spacing = math.nan if design.spacing_mm is None else design.spacing_mm
    bay = spacing / np.array([_cosine(each) if each.kind in DIAGONALS else 1.0 for each in listed])
    bay_ask = f"{SPACING_ASK} {ANGLE_ASK}" if design.spacing_mm is None else ANGLE_ASK
    return (
        Given("area", "A", "mm²", "area of the brace", thin * wide, SECTION_ASK),
        Given("radius_z", "i_z", "mm", "radius of gyration about its weak axis", thin / math.sqrt(12.0), SECTION_ASK),
        Given("radius_y", "i_y", "mm", "radius of gyration about its strong axis", wide / math.sqrt(12.0), SECTION_ASK),
        Given("largest_side", "h_max", "mm", "larger side of the brace", wide, SECTION_ASK),
        Given("length_z", "l_z", "mm", "free length from one component to the next", bay, bay_ask),
        Given("length_y", "l_y", "mm", "free length from one component to the next", bay, bay_ask),
        Given("piece_length", "l", "mm", "length of the row of components", spacing * max((design.count or 2) - 1, 1)),
        Given("component_spacing", "s", "mm", "spacing of the components", spacing, SPACING_ASK),
    )


def _lines(frame: Frame, listed: Sequence[Bracing]) -> tuple[Given, ...]:
    """What kind of line it is, over how many pieces, and how often its force leaves it."""
    design = frame.settled.design
    kinds = [each.kind for each in listed]
    single = [kind for kind in HOLDING if kind not in SHEETS and (design.component_type not in FLOOR_TYPES or kind not in STRUTTING)]
    span = np.array([_span(frame, each) for each in listed])
    return (
        Given("holds_pieces", "holds", "", "single braces that hold pieces where they cross them", _among(kinds, single)),
        Given("is_field", "field", "", "one of many close together", _among(kinds, FIELDS)),
        Given("is_sheet", "sheet", "", "boards or sheets that hold as a plate", _among(kinds, SHEETS)),
        Given("is_diagonal", "diagonal", "", "it takes what others collect", _among(kinds, DIAGONALS)),
        Given("braced_span", "l", "mm", "length of the longest piece it crosses", span),
        Given("row_spacing", "a", "mm", "from one brace of the item to the next", _row_spacings(listed, span), APART_ASK),
        Given("count_alike", "n", "1", "components alike", math.nan if design.count is None else float(design.count), COUNT_ASK),
        Given(
            "anchors", "anchors", "1", "places along the line that take its force", np.array([float(each.anchors or 1) for each in listed])
        ),
        Given("diagonals", "m", "1", "diagonals in the plane of one piece", np.array([_diagonals(each) for each in listed]), ROWS_ASK),
        Given(
            "angle_cos", "cos θ", "1", "of the angle to the line square to the pieces", np.array([_cosine(e) for e in listed]), ANGLE_ASK
        ),
        Given("angle_sin", "sin θ", "1", "of the same angle", np.array([_sine(each) for each in listed]), ANGLE_ASK),
    )


def _ends(listed: Sequence[Bracing]) -> tuple[Given, ...]:
    """What its fixings and its anchorage are declared to carry, and how firm they are."""
    fixings, anchors = [each.fixing_capacity for each in listed], [each.anchor_capacity for each in listed]
    return (
        *strength_givens("fixing", "F_R", "what its fixings to one piece carry", FIXING_ASK, fixings),
        *strength_givens("anchor", "F_R", "what takes its force in the end carries", ANCHOR_ASK, anchors),
        Given(
            "anchor_fastened",
            "anchored by fasteners",
            "",
            "its anchorage states its fasteners",
            np.array([e.anchor is not None for e in listed]),
        ),
        Given(
            "fixing_comparable", "comparable", "", "its fixings are declared, its section and grade stated", _comparable(listed, fixings)
        ),
        Given(
            "anchor_comparable", "comparable", "", "its anchorage is declared, its section and grade stated", _comparable(listed, anchors)
        ),
        Given("fixing_slip", "K_ser", "N/mm", "slip modulus of the fixings to one piece", np.array([*map(stiffness, fixings)]), FIRM_ASK),
        Given("anchor_slip", "K_ser", "N/mm", "slip modulus of the anchorage", np.array([*map(stiffness, anchors)]), ANCHOR_FIRM_ASK),
    )


def _comparable(listed: Sequence[Bracing], strengths: Sequence[Strength | None]) -> NDArray[np.bool_]:
    told = (each is not None and usable(each) for each in strengths)
    return np.array(
        [so and item.section is not None and item.grade is not None for item, so in zip(listed, told, strict=True)], dtype=np.bool_
    )


def held_givens(design: Design, pieces: Evidence, rows: Places, starts: Places) -> tuple[Given, ...]:
    """What the pieces that each item names ask of a brace, per combination.

    pieces: evidence of the member axis; rows: a row of it for every combination; starts: first station of every piece. Of several
    pieces the one that asks most speaks; one that cannot be known makes the item's unknown.
    """
    shape = np.shape(pieces["mean_compression"])
    force, push = (np.broadcast_to(pieces[name], shape)[np.ix_(rows, starts)] for name in (BRACE_FORCE.name, BRACED_COMPRESSION.name))
    most = _most_asking(design, np.nan_to_num(force, nan=np.inf))
    names_none, every = [not item.members for item in items(design)], np.arange(len(rows))[:, None]
    taken = {"F": force[every, most], "N": push[every, most]}
    for asked in taken.values():
        asked[:, names_none] = 0.0
    return (
        Given("crossing_force", "F_d", "N", "greatest brace force of the pieces it names, (9.35)", taken["F"], HELD_ASK),
        Given("held_compression", "N_d", "N", "compression that it keeps straight in that piece", taken["N"], HELD_ASK),
    )


def _most_asking(design: Design, force: Floats) -> Places:
    """(combinations, items): the piece that asks most of every item; any piece where it names none. Items that name the same pieces are
    asked alike. force: of every piece in every combination."""
    index = {member.id: i for i, member in enumerate(design.members)}
    named_so = [tuple(index[name] for name in item.members) for item in items(design)]
    most = {held: np.array(held, dtype=np.intp)[force[:, held].argmax(axis=1)] for held in set(named_so) if held}
    return np.stack([most.get(held, np.zeros(len(force), dtype=np.intp)) for held in named_so], axis=1)


def _among(kinds: Sequence[str], wanted: Sequence[str]) -> NDArray[np.bool_]:
    return np.array([kind in wanted for kind in kinds], dtype=np.bool_)


def _span(frame: Frame, item: Bracing) -> float:
    lengths = {member.id: line.length for member, line in zip(frame.settled.design.members, frame.geometry.lines, strict=True)}
    return max((lengths[name] for name in item.members), default=math.nan)


def _row_spacings(listed: Sequence[Bracing], span: Floats) -> Floats:
    stated = [math.nan if each.spacing_mm is None else each.spacing_mm for each in listed]
    by_rows = [math.nan if each.rows is None else float(length) / (each.rows + 1) for each, length in zip(listed, span, strict=True)]
    crossing = np.array([each.kind in DIAGONALS for each in listed])
    return np.where(crossing, span, np.where(np.isnan(stated), by_rows, stated))


def _diagonals(item: Bracing) -> float:
    """Diagonals in the plane of one piece: those of the item, shared out over the pieces it names, each of which lies in a plane of its own."""
    if item.kind not in DIAGONALS:
        return 1.0
    share = 0 if item.rows is None else item.rows // max(len(item.members), 1)
    return float(share) if share else math.nan


def _cosine(item: Bracing) -> float:
    if item.kind not in DIAGONALS:
        return 1.0
    return math.nan if item.angle_deg is None else math.cos(math.radians(item.angle_deg))


def _sine(item: Bracing) -> float:
    if item.kind not in DIAGONALS:
        return 1.0
    return math.nan if item.angle_deg is None else math.sin(math.radians(item.angle_deg))
