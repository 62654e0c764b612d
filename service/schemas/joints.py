"""Shapes of what joins the pieces: plate types, plates at nodes, splices, nails between plies."""

from __future__ import annotations

from rules.subject.joints import DECLARED_PER
from service.limits import LIMITS
from service.schemas.fields import DocumentSchema, Flag, Items, Name, Number, Part, Text, Word
from service.schemas.frame import length, offset, place

LARGEST_PLATE_MM = 5_000.0


def _steel(description: str, example: float) -> Number:
    return Number(description, example, "N/mm", above=0, most=1e5)


def _anchorage(description: str, example: float) -> Number:
    return Number(description, example, "N/mm²", above=0, most=1e3)


def _slip(what: str) -> Number:
    return Number(f"Slip modulus K_ser of what holds {what}, along the piece. Movements then hold the slip.", 8, "kN/mm", above=0, most=1e4)


class PlateTypeSchema(DocumentSchema):
    """A punched metal plate by its maker's declaration (EN 14545). What is not declared is asked for by the rules that need it."""

    id = Name("What joints and splices call it.", "P1", required=True)
    thickness_mm = Number("Nominal thickness.", 1.0, "mm", least=0.1, most=20, required=True)
    declared_per = Word("Whether the values are for one plate or for a pair, one on each face. There is no default.", DECLARED_PER)
    f_a_0_0_k_mpa = _anchorage("Anchorage strength, force along the plate and along the grain.", 2.4)
    f_a_90_90_k_mpa = _anchorage("Anchorage strength, force across the plate and across the grain.", 1.6)
    k_1 = Number("Slope of the anchorage strength with the angle up to alpha_0.", -0.008, "N/mm² per °", least=-10, most=10)
    k_2 = Number("Slope of the anchorage strength with the angle beyond alpha_0.", -0.01, "N/mm² per °", least=-10, most=10)
    alpha_0_deg = Number("Angle between force and plate at which the slope changes.", 45, "°", least=0, most=90)
    f_t_0_k_n_per_mm = _steel("Tension strength per width, along the main direction.", 160)
    f_c_0_k_n_per_mm = _steel("Compression strength per width, along the main direction.", 90)
    f_v_0_k_n_per_mm = _steel("Shear strength per width, along the main direction.", 80)
    f_t_90_k_n_per_mm = _steel("Tension strength per width, across the main direction.", 110)
    f_c_90_k_n_per_mm = _steel("Compression strength per width, across the main direction.", 70)
    f_v_90_k_n_per_mm = _steel("Shear strength per width, across the main direction.", 65)
    gamma_0_deg = Number("Constant gamma_0 of the steel's strength.", 5, "°", least=-90, most=90)
    k_v = Number("Constant k_v of the steel's strength.", 0.3, "1", least=-1, most=10)
    slip_kn_per_mm = _slip("the end of one piece by a pair of these plates")
    document = Text("Where the maker declares it.", "Declaration of performance 14-2026", longest=200)
    invented = Flag("The figures are made up for a demonstration; then nothing passes because of them.")


class GapsSchema(DocumentSchema):
    """What is promised of the gaps between pieces when the plates are pressed in; without it no contact is counted on."""

    mean_mm = Number("Mean gap.", 1.0, "mm", least=0, most=100, required=True)
    most_mm = Number("Widest gap.", 2.0, "mm", least=0, most=100, required=True)


def _tolerance() -> Number:
    return Number("How far off its place a plate may sit, along and across itself. There is no default.", 5, "mm", least=0, most=100)


def _turning() -> Number:
    return Number("How far it may be turned from that direction; judged as if it could not when absent.", 2, "°", least=0, most=45)


class JointSchema(DocumentSchema):
    """A joint at a node: a pair of plates, one on each face, or the reason why it is judged elsewhere. Several at one node each name their pieces."""

    id = Name("What the findings call it.", "J1", required=True)
    node = Name("The node where the pieces meet.", "A", required=True)
    none_because = Text("Why it is not judged here; then no plates are stated.", "bolted heel, drawing S-14")
    pieces = Items(
        Name("Id of a member."), "Pieces that it joins, where several joints are at the node; all that meet there when absent.",
        least=2, most=LIMITS.nodes_per_member, example=["TC1", "W1"],
    )  # fmt: skip
    plate_type = Name("Id of the plate type.", "P1")
    length_mm = length("Length of the plate along its main direction.", 200, most=LARGEST_PLATE_MM)
    width_mm = length("Width of the plate.", 96, most=LARGEST_PLATE_MM)
    angle_deg = Number("Main direction of the plate, counter-clockwise from the x axis.", 35, "°", least=-360, most=360)
    offset_mm = offset("From the node to the middle of the plate.", [60, 10])
    placing_tolerance_mm = _tolerance()
    turning_tolerance_deg = _turning()
    slip_kn_per_mm = _slip("the end of each piece here; that of its plate type when absent")
    gaps = Part(GapsSchema, "Gaps promised, where contact in compression is to be counted on.")
    cut_order = Items(
        Name("Id of a member."), "Pieces that end here, those that keep their outline first; by their roles when absent.",
        most=LIMITS.nodes_per_member, example=["TC1", "BC"],
    )  # fmt: skip


class SpliceSchema(DocumentSchema):
    """Where a piece is made of two, butted square, with a pair of plates. The piece is analysed as continuous through it."""

    id = Name("What the findings call it.", "SP1", required=True)
    member = Name("The piece that is spliced.", "BC", required=True)
    at_mm = place("Where, along the piece from its first node.", 2100, required=True)
    plate_type = Name("Id of the plate type.", "P1", required=True)
    length_mm = length("Length of the plate along its main direction.", 240, most=LARGEST_PLATE_MM, required=True)
    width_mm = length("Width of the plate.", 97, most=LARGEST_PLATE_MM, required=True)
    angle_deg = Number("Main direction of the plate, counter-clockwise from the piece; along it when absent.", 0, "°", least=-360, most=360)
    offset_mm = offset("From the splice on the axis to the middle of the plate, along and across the piece.", [0, 0])
    slip_kn_per_mm = _slip("both halves to each other; that of its plate type when absent")
    placing_tolerance_mm = _tolerance()
    turning_tolerance_deg = _turning()
    gaps = Part(GapsSchema, "Gaps promised, where contact in compression is to be counted on.")
