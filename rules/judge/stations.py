"""Givens of the piece each station lies on: section, lengths, what it carries below, what its maker declares."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from typing import Any

import numpy as np

from rules.judge.framed import Frame
from rules.judge.mechanics import section_area
from rules.judge.properties import material_givens, named
from rules.library.given import Given
from rules.library.labels import Labels
from rules.subject.actions import NodeLoad
from rules.subject.design import ROOF_TYPES, Design
from rules.subject.frame import DeclaredCapacity, Member, Prism, Rectangle
from rules.subject.jointing import plated_ends
from rules.subject.settled import Settled

INNER = ("web", "post", "strut", "brace")
"""Roles of pieces that carry no finish: their sag is not a sag of roof or floor."""
CEILING_ASK = 'What hangs below: "brittle" (plaster or plasterboard), "flexible" or "none"? (roof.ceiling or floor.ceiling)'


def station_givens(frame: Frame) -> dict[str, Given]:
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

    return material_givens(frame.selection.reference, materials, members, layout.piece) | named(
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
        Given("piece_index", "piece", "1", "number of the piece", layout.piece),
        *_braces(settled, spread),
        Given("piece_length", "l", "mm", "length of the piece", spread(line.length for line in lines)),
        Given("place_along", "x/l", "1", "place along the piece over its length", layout.at / spread(line.length for line in lines)),
        Given("slope_deg", "θ", "°", "slope of the piece", spread(math.degrees(line.slope) for line in lines)),
        Given("role", "role", "", "what the piece is for", Labels.of([member.role for member in members]).spread(layout.piece)),
        Given("component_type", "component", "", "type of component", Labels.one(settled.design.component_type)),
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
            "rigid or sprung end that no plates are given for",
            spread(_stiff_unplated(member, plated_ends(settled.design)) for member in members),
        ),
        Given("is_inner", "inner", "", "a web, post, strut or brace", spread(member.role in INNER for member in members)),
        *_declared(settled.design, spread),
    )


def _braces(settled: Settled, spread: Any) -> tuple[Given, ...]:
    """Where pieces are said to be held, and over how many components alike a line of braces runs."""
    said = [member.restraints for member in settled.design.members]
    edges = [[each for each in (one.top_edge_mm, one.bottom_edge_mm) if isinstance(each, float)] for one in said]
    sideways = [[one.out_of_plane_mm] if isinstance(one.out_of_plane_mm, float) else [] for one in said]
    spacing = [min([*across, *along], default=math.nan) for across, along in zip(sideways, edges, strict=True)]
    count, apart = settled.design.count, settled.design.spacing_mm
    return (
        Given("relies_sideways", "held", "", "held sideways at a stated spacing", spread(bool(each) for each in sideways)),
        Given("relies_edge", "edge held", "", "held at an edge at a stated spacing", spread(bool(each) for each in edges)),
        Given("brace_spacing", "a", "mm", "spacing of the braces, the closest where several are stated", spread(spacing)),
        Given("component_spacing", "s", "mm", "distance between components", math.nan if apart is None else apart),
        Given("count_alike", "n", "1", "components alike", math.nan if count is None else float(count)),
        Given("count_stated", "n stated", "", "the number of components alike is stated", np.array([count is not None])),
    )


def _stiff_unplated(member: Member, plated: Collection[tuple[str, str]]) -> bool:
    """Whether an end passes moment at a joint whose plates are not judged for it."""
    ends = ((member.start, member.nodes[0]), (member.end, member.nodes[-1]))
    return any(end != "pinned" and (node, member.id) not in plated for end, node in ends)


def _ceilings(settled: Settled) -> list[str | None]:
    """What hangs below every piece: the ceiling hangs from the tie, so rafters over one carry none, unless a collar makes a room."""
    design = settled.design
    part = design.roof or design.floor
    stated = part.ceiling if part else None
    roles = {member.role for member in design.members}
    loft = bool(roles & {"ceiling-tie", "bottom-chord"}) and "collar" not in roles and design.component_type in ROOF_TYPES
    return ["none" if loft and member.role in ("rafter", "top-chord") else stated for member in design.members]


def _declared(design: Design, spread: Any) -> tuple[Given, ...]:
    members = design.members
    loaded = {load.member for action in design.actions for load in action.loads if not isinstance(load, NodeLoad)}
    ask = (
        "What does the maker declare this part to carry, and how is it meant? (section.declared: tension_kn, compression_kn, basis) A "
        'characteristic figure wants gamma_m, and k_mod "none"; one that falls with duration is given as its design value for '
        "the longest."
    )

    def capacity(member: Member, which: str) -> float:
        declared = member.section.capacity if isinstance(member.section, Prism) else None
        stated: float | None = getattr(declared, which) if declared else None
        if stated is None or declared is None or not _is_meant(declared):
            return math.nan
        return 1000.0 * stated / (declared.gamma_m or 1.0) if declared.basis == "characteristic" else 1000.0 * stated

    bent = (len(m.nodes) > 2 or m.id in loaded or (m.start, m.end) != ("pinned", "pinned") for m in members)
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
        Given("is_bent_between", "bent", "", "it bends: loaded between its nodes, running through one, or stiff at an end", spread(bent)),
    )


def _is_meant(declared: DeclaredCapacity) -> bool:
    """Whether it is said how the figure is meant, and it needs no k_mod that nobody knows for a ready part."""
    return declared.basis == "design" or (declared.basis == "characteristic" and declared.gamma_m is not None and declared.k_mod == "none")


def _modulus(member: Member) -> float:
    section = member.section
    return member.plies * (section.modulus_mm3 if isinstance(section, Prism) else section.b_mm * section.h_mm**2 / 6.0)


def _side(member: Member, side: str) -> float:
    """A side of the rectangle; 1 for a section by its properties, whose timber quantities are never judged."""
    return float(getattr(member.section, side)) if isinstance(member.section, Rectangle) else 1.0
