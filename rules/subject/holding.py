"""What holds a component where it is: bracing, hangers, straps, what each is declared to carry, and what was measured on site."""

from __future__ import annotations

from dataclasses import dataclass

from rules.subject.fastening import Fasteners

BRACING_KINDS = ("batten", "board", "binder", "diagonal", "chevron", "strongback", "noggin", "strap")
BASES = ("design", "characteristic")
K_MOD_RULES = ("applies", "none")
FIELDS = ("batten",)
"""Kinds that lie so close together that the piece feels a bed, not single braces."""
GRAINS = ("along", "across")
HANGER_FIXINGS = ("face", "top")
DECLARED_PER = ("hanger", "pair")


@dataclass(frozen=True, slots=True)
class Strength:
    """What a fixing, strap or hanger is declared to carry, and how the number is meant.

    kn: the force. basis: "design" (ready to compare, whatever the load's duration) or "characteristic" (still to be divided by
    gamma_m, and multiplied by k_mod where k_mod is "applies"). stiffness_kn_per_mm: how stiff it is. document: where it is declared or
    worked out. invented: a figure made up for a demonstration, which can never make anything pass. None: not stated.
    """

    kn: float | None = None
    stiffness_kn_per_mm: float | None = None
    basis: str | None = None
    gamma_m: float | None = None
    k_mod: str | None = None
    document: str | None = None
    invented: bool = False


@dataclass(frozen=True, slots=True)
class Nails:
    """Nails through one brace into one piece."""

    count: int
    diameter_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class Anchor:
    """What fixes a line of braces or a diagonal at one place to the timber that takes its force. fasteners: through the brace, or through
    the steel of a strap, into that timber. section: (b, h) of that timber in mm, b along the fasteners; grade: of it. Where one of them is
    not stated it is that of the item of bracing that the line is anchored to. grain: whether the force goes "along" or "across" its grain;
    None: across. rest_capacity: of a strap itself and of its other end."""

    fasteners: Fasteners
    section: tuple[float, float] | None = None
    grade: str | None = None
    grain: str | None = None
    rest_capacity: Strength | None = None


@dataclass(frozen=True, slots=True)
class Bracing:
    """One item of restraint specified. kind: one of BRACING_KINDS; spacing_mm, rows: from one brace of the item to the next along
    the pieces, or how many there are. section: (b, h) in mm. fixing_capacity: of its fixings to one piece, or fasteners, of which it is
    worked out; anchored_to: what takes its
    force in the end, another item by its id or words; anchors: at how many places along its line; anchor_capacity: of
    one of them, or anchor, the fasteners of which it is worked out. angle_deg: between a diagonal and the line square to the pieces."""

    id: str
    kind: str
    members: tuple[str, ...] = ()
    edge: str | None = None
    from_mm: float | None = None
    to_mm: float | None = None
    spacing_mm: float | None = None
    rows: int | None = None
    section: tuple[float, float] | None = None
    fixing: str | None = None
    anchored_to: str | None = None
    grade: str | None = None
    angle_deg: float | None = None
    nails: Nails | None = None
    fixing_capacity: Strength | None = None
    fasteners: Fasteners | None = None
    anchors: int | None = None
    anchor_capacity: Strength | None = None
    anchor: Anchor | None = None


@dataclass(frozen=True, slots=True)
class Strap:
    """What holds a bearing down. bearings: how many bearings alike one strap holds. capacity: of all of it; or fasteners, which fix it to
    the piece (to the plate, where it holds several bearings), and rest_capacity: of the strap itself and what it is fixed to below."""

    what: str | None = None
    bearings: int | None = None
    capacity: Strength | None = None
    fasteners: Fasteners | None = None
    rest_capacity: Strength | None = None


@dataclass(frozen=True, slots=True)
class Hanger:
    """One hanger. fixed: "face" or "top" of what carries it; declared_per: "hanger" or "pair"; down, up: what it carries; or fasteners, which
    fix one hanger to what carries it, and rest_down, rest_up: what it carries apart from them."""

    id: str
    support: str
    fixed: str | None = None
    declared_per: str | None = None
    down: Strength | None = None
    up: Strength | None = None
    fasteners: Fasteners | None = None
    rest_down: Strength | None = None
    rest_up: Strength | None = None


@dataclass(frozen=True, slots=True)
class HangerGap:
    """What was measured at one hanger or pocket."""

    support: str
    gap_mm: float | None = None
    bearing_mm: float | None = None


@dataclass(frozen=True, slots=True)
class AsBuilt:
    """What was measured on site. bow_mm, out_of_plumb_mm: of the component as it stands."""

    clear_width_mm: float | None = None
    at_supports: tuple[HangerGap, ...] = ()
    bow_mm: float | None = None
    out_of_plumb_mm: float | None = None
