"""The frame as the caller describes it: nodes, pieces of timber, what they bear on. Millimetres, x right, y up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rules.subject.holding import Strap
from rules.subject.joints import PlyNailing

ROLES = (
    "rafter", "ceiling-tie", "web", "post", "collar", "ridge", "top-chord", "bottom-chord", "joist", "purlin", "brace", "strut", "member",
)  # fmt: skip
SEAT_KINDS = ("wall-plate", "masonry", "hanger", "beam", "steel")

End = float | Literal["pinned", "rigid"]
"""How a piece's end is joined: "pinned", "rigid", or a rotational stiffness in kNm/rad."""

Spacing = float | Literal["none"] | None
"""A length between restraints in mm; "none": the whole piece; None: not stated, to be derived."""


@dataclass(frozen=True, slots=True)
class Node:
    """A point of the frame."""

    id: str
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangular section: h lies in the plane of the frame, b square to it."""

    b_mm: float
    h_mm: float


@dataclass(frozen=True, slots=True)
class DeclaredCapacity:
    """What the maker of a metal web or other ready part declares it carries.

    tension_kn, compression_kn: resistance of the part between its nodes, >= 0. basis: "design" (ready to compare, whatever the load's
    duration) or "characteristic" (still to be divided by gamma_m, usable only where k_mod is said to be "none"). document: where it is
    declared. invented: a figure made up for a demonstration, which can never make anything pass. Without a basis it decides nothing.
    """

    tension_kn: float | None = None
    compression_kn: float | None = None
    basis: str | None = None
    gamma_m: float | None = None
    k_mod: str | None = None
    document: str | None = None
    invented: bool = False


@dataclass(frozen=True, slots=True)
class Prism:
    """Any prismatic section by its properties; what it carries is the maker's to declare."""

    area_mm2: float
    second_moment_mm4: float
    modulus_mm3: float
    capacity: DeclaredCapacity | None = None


@dataclass(frozen=True, slots=True)
class Restraints:
    """Lengths between the restraints the designer relies on."""

    in_plane_mm: Spacing = None
    out_of_plane_mm: Spacing = None
    top_edge_mm: Spacing = None
    bottom_edge_mm: Spacing = None


@dataclass(frozen=True, slots=True)
class Treatment:
    """Preservative treatment of one piece. against: "insects", "decay", "termites"."""

    against: tuple[str, ...]
    standard: str | None = None
    use_class: str | None = None
    reference: str | None = None


@dataclass(frozen=True, slots=True)
class Cut:
    """A hole or notch in a piece, measured along it from its first node to the middle of the cut. length_mm: along the piece;
    taper: i of a notch that runs out at 1:i (None: square)."""

    at_mm: float
    depth_mm: float
    face: str | None = None
    length_mm: float | None = None
    taper: float | None = None


@dataclass(frozen=True, slots=True)
class Member:
    """One piece of timber: straight, through the named nodes in order, continuous over the inner ones."""

    id: str
    role: str
    nodes: tuple[str, ...]
    section: Rectangle | Prism
    grade: str
    plies: int = 1
    start: End = "pinned"
    end: End = "pinned"
    start_offset_mm: tuple[float, float] = (0.0, 0.0)
    end_offset_mm: tuple[float, float] = (0.0, 0.0)
    restraints: Restraints = Restraints()
    treatment: Treatment | Literal["none"] | None = None
    holes: tuple[Cut, ...] = ()
    notches: tuple[Cut, ...] = ()
    ply_nailing: PlyNailing | None = None


@dataclass(frozen=True, slots=True)
class Seat:
    """What a support bears on. length_mm runs along the span; offset_mm from the node to the middle of the bearing.
    member: id of the piece that sits on it (None: the lowest at the node, reported). horn_mm: how far the piece goes on beyond its last
    metal, to be cut back where walls stand too close."""

    on: str | None = None
    length_mm: float | None = None
    width_mm: float | None = None
    offset_mm: tuple[float, float] = (0.0, 0.0)
    grade: str | None = None
    section: Rectangle | None = None
    gap_specified_mm: float | None = None
    member: str | None = None
    horn_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Springs:
    """Elastic support stiffness: kN/mm, kN/mm, kNm/rad; None: none in that direction."""

    x_kn_per_mm: float | None = None
    y_kn_per_mm: float | None = None
    rotation_knm_per_rad: float | None = None


@dataclass(frozen=True, slots=True)
class Settlement:
    """Prescribed movement of a support in mm along its held directions."""

    x_mm: float = 0.0
    y_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Support:
    """Where the frame is held. holds: any of "x", "y", "rotation"; inclined_deg turns x and y counter-clockwise.
    uplift: "held", "free" (a bearing that can only push) or None (not stated: taken as held, and listed)."""

    id: str
    node: str
    holds: tuple[str, ...]
    springs: Springs = Springs()
    inclined_deg: float = 0.0
    settlement: Settlement = Settlement()
    uplift: str | None = None
    seat: Seat | None = None
    thrust_by: str | None = None
    held_down_by: Strap | None = None
