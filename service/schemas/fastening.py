"""Shape of the nails, screws or bolts of one fixing."""

from __future__ import annotations

from rules.subject.fastening import FASTENER_KINDS, PULLS
from rules.subject.joints import NAIL_FORMS
from service.schemas.fields import DocumentSchema, Flag, Number, Whole, Word

LONGEST_MM = 1000


def _size(description: str, example: float, *, required: bool = False, most: float = LONGEST_MM) -> Number:
    return Number(description, example, "mm", above=0, most=most, required=required)


class FastenersSchema(DocumentSchema):
    """Nails, screws or bolts alike, in single shear or drawn out. What they carry is worked out, and asked for where something is missing."""

    kind = Word("What they are.", FASTENER_KINDS, required=True)
    count = Whole("How many of them in this fixing.", 2, least=1, most=200, required=True)
    diameter_mm = _size("Diameter; the side of a square nail, the outer one of a thread.", 3.35, required=True, most=30)
    length_mm = _size("Length.", 65, required=True)
    form = Word("Of nails: the shank; “other” for annular ringed or threaded ones.", NAIL_FORMS)
    head_mm = _size("Diameter of the head.", 7.5, most=100)
    root_mm = _size("Of screws: diameter of the core of the thread.", 3.2, most=30)
    thread_mm = _size("Length of the thread or profile in the timber on the point's side.", 40)
    f_u_mpa = Number("Tensile strength of the wire.", 600, "N/mm²", above=0, most=2000)
    m_y_k_nmm = Number("Yield moment as its maker declares it, in place of f_u_mpa.", 4200, "N·mm", above=0, most=1e7)
    f_ax_k_mpa = Number("Declared strength against withdrawal, in timber no denser than this.", 7, "N/mm²", above=0, most=100)
    f_head_k_mpa = Number(
        "Declared strength against the head being pulled through, in timber no denser than this.", 15, "N/mm²", above=0, most=200
    )
    f_tens_k_kn = Number("Of screws: declared tensile strength of one.", 7, "kN", above=0, most=1000)
    predrilled = Flag("Drilled first. Bolts always are.")
    askew = Flag("Nails driven askew. What these carry is not worked out and stays open: declare it instead.")
    play_mm = Number("Of bolts: how much wider than the bolt its hole in the timber is.", 1, "mm", least=0, most=50)
    pulled = Word(
        "Which way the force goes: across them, along them in side grain or in end grain, or both across and along them in side grain.",
        PULLS,
    )
    pull_angle_deg = Number("Where the force goes both ways: the angle between it and the fasteners.", 60, "°", above=0, most=90)
    washer_mm = _size("Of bolts drawn along them: diameter, or side, of the washers at both ends.", 36, most=300)
    washer_thickness_mm = _size("Thickness of these washers.", 4, most=50)
    in_row = Whole(
        "How many stand in one line along the grain, not staggered by a diameter; all of them when absent, and asked for under steel that pulls along it.",
        1,
        least=1,
        most=200,
    )
    spacing_mm = _size("Distance from one to the next in such a line.", 40)
    row_spacing_mm = _size("Distance from line to line.", 20)
    end_mm = _size("Least distance to the end of any of the timbers.", 60)
    edge_mm = _size("Least distance to the edge of any of the timbers.", 25)
    edge_to_farthest_mm = _size(
        "From the edge that they pull towards, of the timber the points end in, to the fastener farthest from it; where they pull both ways, as braces "
        "do, the lesser of both edges.",
        70,
    )
    shear_beside_kn = Number(
        "Greatest shear force beside them in the timber the points end in, where it is no piece of this design: a beam, a plate.", 3.5, "kN",
        above=0, most=1e4,
    )  # fmt: skip
    plate_mm = _size("Thickness of the steel under the head; absent: timber.", 2.5, most=50)
    invented = Flag("The figures are made up for a demonstration; then nothing passes because of them.")
