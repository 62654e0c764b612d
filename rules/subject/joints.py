"""Fasteners at nodes and along pieces as the caller describes them: plates, splices, the nails between plies."""

from __future__ import annotations

from dataclasses import dataclass

DECLARED_PER = ("plate", "pair")
NAIL_FORMS = ("round", "square", "grooved", "other")


@dataclass(frozen=True, slots=True)
class PlateType:
    """A punched metal plate as its maker declares it (EN 14545 values), for one plate or for a pair: `declared_per`.

    Anchorage per area of contact in N/mm²: f_a_0_0, f_a_90_90, with k_1 and k_2 in N/mm² per degree and alpha_0 in degrees. Steel
    per width in N/mm: tension, compression and shear along (0) and across (90) the main direction, gamma_0 in degrees and k_v.
    slip_kn_per_mm: of the end of one piece held by a pair. None: not declared. invented: made up for a demonstration, so that nothing passes because of it.
    """

    id: str
    thickness_mm: float
    declared_per: str | None = None
    f_a_0_0_k_mpa: float | None = None
    f_a_90_90_k_mpa: float | None = None
    k_1: float | None = None
    k_2: float | None = None
    alpha_0_deg: float | None = None
    f_t_0_k_n_per_mm: float | None = None
    f_c_0_k_n_per_mm: float | None = None
    f_v_0_k_n_per_mm: float | None = None
    f_t_90_k_n_per_mm: float | None = None
    f_c_90_k_n_per_mm: float | None = None
    f_v_90_k_n_per_mm: float | None = None
    gamma_0_deg: float | None = None
    k_v: float | None = None
    slip_kn_per_mm: float | None = None
    document: str | None = None
    invented: bool = False


@dataclass(frozen=True, slots=True)
class Gaps:
    """What is promised of the gaps between the pieces before the plates are pressed, in mm."""

    mean_mm: float
    most_mm: float


@dataclass(frozen=True, slots=True)
class Plates:
    """A pair of plates, one on each face. length_mm along the main direction; angle_deg: that direction, counter-clockwise from x at a
    node, from the piece at a splice; offset_mm: the middle, from the node in x and y, from the splice along and across the piece.
    turning_tolerance_deg: how far they may be turned from that direction; None: they are judged as if they could not."""

    plate_type: str
    length_mm: float
    width_mm: float
    angle_deg: float = 0.0
    offset_mm: tuple[float, float] = (0.0, 0.0)
    placing_tolerance_mm: float | None = None
    turning_tolerance_deg: float | None = None
    gaps: Gaps | None = None


@dataclass(frozen=True, slots=True)
class Joint:
    """A joint at a node: plates, or why it is judged elsewhere. pieces: those it joins where several joints are at the node; none: all that
    meet there. cut_order: pieces that end here, those that keep their outline first;
    the later are cut to the earlier. slip_kn_per_mm: of the end of each piece here; None: that of the plate type. missing: fields without
    which what is stated of the plates is no pair of plates."""

    id: str
    node: str
    plates: Plates | None = None
    pieces: tuple[str, ...] = ()
    cut_order: tuple[str, ...] = ()
    none_because: str | None = None
    slip_kn_per_mm: float | None = None
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Splice:
    """Where a piece is made of two, butted square at at_mm from its first node and plated. slip_kn_per_mm: of both halves to each other."""

    id: str
    member: str
    at_mm: float
    plates: Plates
    slip_kn_per_mm: float | None = None


@dataclass(frozen=True, slots=True)
class PlyNailing:
    """Nails that join the plies of a piece: `rows` across its depth, one nail every spacing_mm in each.

    form: "round" and smooth, "square", "grooved" or "other"; f_u_mpa: tensile strength of the wire."""

    diameter_mm: float
    length_mm: float
    spacing_mm: float
    rows: int
    f_u_mpa: float | None = None
    form: str | None = None
    predrilled: bool = False
