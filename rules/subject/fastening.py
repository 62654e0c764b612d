"""Nails, screws and bolts that fix a brace, a strap or a hanger, as the caller describes them."""

from __future__ import annotations

from dataclasses import dataclass

FASTENER_KINDS = ("nail", "screw", "bolt")
PULLS = ("across", "along", "along-end-grain", "both")


@dataclass(frozen=True, slots=True)
class Fasteners:
    """Fasteners alike of one fixing, in single shear or drawn out.

    form: of a nail's shank, a word of NAIL_FORMS. head_mm: across the head; root_mm: across the core of a thread; thread_mm: length of the
    thread in the timber on the point's side. f_u_mpa: tensile strength of the wire, or m_y_k_nmm, the yield moment that its maker declares;
    f_ax_k_mpa, f_head_k_mpa, f_tens_k_kn: declared strength against withdrawal, against the head being pulled through, and of one screw in tension.
    pulled: "across" the fastener, "along" it in side grain, "along-end-grain", or "both" across and along it in side grain; pull_angle_deg: then
    between the force and the fastener. washer_mm, washer_thickness_mm: of bolts, the washers at both ends. in_row: how many stand in one line along the grain, all
    where it is not stated; spacing_mm: from one to the next in that line; row_spacing_mm: from line to line; end_mm, edge_mm: least
    distances to the end and to the edge of any of the timbers; askew: nails driven at an angle; play_mm: how much wider than the bolts their
    holes in the timber are; edge_to_farthest_mm: from the edge of the timber on the point's side that they
    pull towards to the one farthest from it; shear_beside_kn: greatest shear force beside them in that timber, where it is no piece of the
    design. plate_mm: thickness of the steel under the head; None: timber. invented:
    made up for a demonstration, so that nothing passes because of it.
    """

    kind: str
    count: int
    diameter_mm: float
    length_mm: float
    form: str | None = None
    head_mm: float | None = None
    root_mm: float | None = None
    thread_mm: float | None = None
    f_u_mpa: float | None = None
    m_y_k_nmm: float | None = None
    f_ax_k_mpa: float | None = None
    f_head_k_mpa: float | None = None
    f_tens_k_kn: float | None = None
    predrilled: bool = False
    pulled: str | None = None
    pull_angle_deg: float | None = None
    washer_mm: float | None = None
    washer_thickness_mm: float | None = None
    in_row: int | None = None
    spacing_mm: float | None = None
    row_spacing_mm: float | None = None
    end_mm: float | None = None
    edge_mm: float | None = None
    edge_to_farthest_mm: float | None = None
    shear_beside_kn: float | None = None
    plate_mm: float | None = None
    invented: bool = False
    askew: bool = False
    play_mm: float | None = None
