"""Shapes of the frame: nodes, pieces of timber, supports. Millimetres, x right, y up."""

from __future__ import annotations

from rules.subject.frame import ROLES, SEAT_KINDS
from rules.subject.holding import BASES, K_MOD_RULES
from rules.subject.joints import NAIL_FORMS
from service.limits import LIMITS
from service.schemas.fields import DocumentSchema, Flag, Items, Name, Number, Part, Text, Whole, Word
from service.schemas.forms import ByMember, ByType, Forms
from service.schemas.strength import StrapSchema

FARTHEST_MM = 1_000_000.0
SHORTEST_MM = 0.1
LARGEST_SECTION_MM = 10_000.0


def length(description: str, example: float, *, most: float = FARTHEST_MM, required: bool = False) -> Number:
    """A length in mm. One shorter than a tenth of a millimetre is a slip, and what is divided by it no number."""
    return Number(description, example, "mm", least=SHORTEST_MM, most=most, required=required)


def place(description: str, example: float, *, required: bool = False) -> Number:
    """A distance along a piece in mm, from its first node."""
    return Number(description, example, "mm", least=0, most=FARTHEST_MM, required=required)


def offset(description: str, example: list[float]) -> Items:
    """A pair [x, y] in mm."""
    inner = Number("One of the pair.", None, "mm", least=-LARGEST_SECTION_MM, most=LARGEST_SECTION_MM)
    return Items(inner, description, least=2, most=2, example=example)


class NodeSchema(DocumentSchema):
    """A point of the frame where pieces meet, end or bear."""

    id = Name("What the other parts of the document call it.", "A", required=True)
    x_mm = Number("Distance to the right of the origin.", 0, "mm", least=-FARTHEST_MM, most=FARTHEST_MM, required=True)
    y_mm = Number("Height above the origin.", 0, "mm", least=-FARTHEST_MM, most=FARTHEST_MM, required=True)


class RectangleSchema(DocumentSchema):
    """A rectangular section. h lies in the plane of the frame, b square to it."""

    b_mm = Number("Breadth, square to the plane of the frame.", 35, "mm", least=1, most=LARGEST_SECTION_MM, required=True)
    h_mm = Number("Depth, in the plane of the frame.", 97, "mm", least=1, most=LARGEST_SECTION_MM, required=True)


class DeclaredCapacitySchema(DocumentSchema):
    """What the maker of a ready part declares that it carries between its nodes."""

    tension_kn = Number("Resistance in tension.", 9.5, "kN", least=0, most=1e5)
    compression_kn = Number("Resistance in compression.", 6.2, "kN", least=0, most=1e5)
    basis = Word("“design”: ready to compare, for loads of any duration; “characteristic”: still to be divided by gamma_m.", BASES)
    gamma_m = Number("Partial factor for a characteristic value.", 1.25, "1", least=1, most=10)
    k_mod = Word("Whether a characteristic value falls with the load's duration; one that does decides nothing.", K_MOD_RULES)
    document = Text("Where the maker declares it.", "Declaration of performance 12-2026", longest=200)
    invented = Flag("The figure is made up for a demonstration; then nothing passes because of it.")


class PrismSchema(DocumentSchema):
    """Any prismatic section by its properties, such as a metal web. What it carries is the maker's to declare."""

    area_mm2 = Number("Area of the section.", 120, "mm²", least=0.1, most=1e8, required=True)
    second_moment_mm4 = Number(
        "Second moment of area, bending in the plane of the frame.", 2100, "mm⁴", least=0.001, most=1e14, required=True
    )
    modulus_mm3 = Number("Section modulus, bending in the plane of the frame.", 150, "mm³", least=0.01, most=1e11, required=True)
    declared = Part(DeclaredCapacitySchema, "What its maker declares that it carries; without it the judgement stays open.")


def section(description: str, *, required: bool = False) -> ByMember:
    """A section: a rectangle, or a prism by its properties."""
    forms: Forms = {
        "rectangle": (("b_mm", "h_mm"), RectangleSchema),
        "prism": (("area_mm2", "second_moment_mm4", "modulus_mm3"), PrismSchema),
    }
    return ByMember(description, forms, required=required)


class EndStiffnessSchema(DocumentSchema):
    """An end that yields when turned."""

    knm_per_rad = Number("Rotational stiffness.", 12.5, "kNm/rad", above=0, most=1e9, required=True)


def _end(description: str) -> ByType:
    return ByType(description, text=Word("How the end is joined.", ("pinned", "rigid")), part=Part(EndStiffnessSchema))


class EndsSchema(DocumentSchema):
    """How the two ends of a piece are joined. Through its inner nodes a piece is continuous."""

    start = _end("The end at the first node; pinned when absent.")
    end = _end("The end at the last node; pinned when absent.")


class EndOffsetsSchema(DocumentSchema):
    """Where the ends of the piece's axis are, seen from their nodes."""

    start = offset("From the first node to the beginning of the axis.", [0, 40])
    end = offset("From the last node to the end of the axis.", [0, 0])


def _restraint(description: str) -> ByType:
    number = length("Distance between restraints.", 400)
    return ByType(description, number=number, text=Word("“none”: nothing holds it between its ends.", ("none",)))


class RestraintSpacingSchema(DocumentSchema):
    """Distances between the restraints the designer relies on. "none": the whole piece; null: to be derived and reported."""

    in_plane_mm = _restraint("Against buckling in the plane of the frame.")
    out_of_plane_mm = _restraint("Against buckling out of the plane of the frame.")
    top_edge_mm = _restraint("Of the upper edge, against turning over in bending.")
    bottom_edge_mm = _restraint("Of the lower edge, against turning over in bending.")


class TreatmentSchema(DocumentSchema):
    """Preservative treatment of a piece."""

    against = Items(
        Word("What it is against.", ("insects", "decay", "termites")), "What the treatment is against.", least=1, most=3, required=True,
        example=["insects"],
    )  # fmt: skip
    standard = Text("Standard it follows.", "BS 8417", longest=100)
    reference = Text("Certificate or delivery note.", "certificate 4711", longest=200)

    class Meta:
        include = {"class": Text("Use class it is for.", "UC2", longest=20)}  # noqa: RUF012  # marshmallow's own way to a name Python keeps


class CutSchema(DocumentSchema):
    """A hole or a notch."""

    at_mm = place("Where its middle is, along the piece from its first node.", 1200, required=True)
    depth_mm = length("How much of the depth it takes; the diameter of a hole.", 20, most=LARGEST_SECTION_MM, required=True)
    face = Word("The face it is cut from; absent for a hole on the axis.", ("upper", "lower", "left", "right"))
    length_mm = length("How far a notch goes along the piece.", 120)
    taper = Number("i of a notch that runs out at a slope of 1:i; square when absent.", 0, "1", least=0, most=1000)


class PlyNailingSchema(DocumentSchema):
    """The nails that join the plies of a piece. Without them plies are not taken to share a load that hangs on one of them."""

    diameter_mm = Number("Diameter; the side of a square nail.", 3.35, "mm", least=1, most=12, required=True)
    length_mm = length("Length of the nail.", 90, most=LARGEST_SECTION_MM, required=True)
    spacing_mm = length("Distance from nail to nail along one row.", 300, required=True)
    rows = Whole("Rows across the depth.", 2, least=1, most=20, required=True)
    f_u_mpa = Number("Tensile strength of the wire.", 600, "N/mm²", least=100, most=3000)
    form = Word("Its shank; “other” for annular ringed or threaded ones.", NAIL_FORMS)
    predrilled = Flag("Whether holes are drilled first.")


class MemberSchema(DocumentSchema):
    """One piece of timber: straight, through the named nodes in the order given."""

    id = Name("What the other parts of the document and the findings call it.", "TC1", required=True)
    role = Word("What the piece does in the frame.", ROLES, required=True)
    nodes = Items(
        Name("Id of a node."), "The nodes on its axis, in order.", least=2, most=LIMITS.nodes_per_member, required=True,
        example=["A", "F", "B"],
    )  # fmt: skip
    section = section("One ply's section.", required=True)
    grade = Name("Strength grade, looked up in the code tradition in force, then among the grades under materials.", "C24", required=True)
    plies = Whole("How many pieces of this section lie side by side; 1 when absent.", 1, least=1, most=LIMITS.plies)
    ends = Part(EndsSchema, "How its ends are joined; pinned when absent.")
    offset_mm = Part(EndOffsetsSchema, "Eccentric ends.")
    restraint_spacing = Part(RestraintSpacingSchema, "Distances between the restraints relied on.")
    treatment = ByType("Preservative treatment; null: not stated.", text=Word("“none”: untreated.", ("none",)), part=Part(TreatmentSchema))
    holes = Items(Part(CutSchema), "Holes through the piece.", most=100)
    notches = Items(Part(CutSchema), "Notches in its faces.", most=100)
    ply_nailing = Part(PlyNailingSchema, "The nails that join its plies; null: not stated, and open where a load hangs on one of them.")


class SpringsSchema(DocumentSchema):
    """A support that yields. A direction with a spring is not held as well."""

    x_kn_per_mm = Number("Sideways.", 2.0, "kN/mm", above=0, most=1e9)
    y_kn_per_mm = Number("Upwards.", 4.0, "kN/mm", above=0, most=1e9)
    rotation_knm_per_rad = Number("Against turning.", 20, "kNm/rad", above=0, most=1e9)


class SeatSchema(DocumentSchema):
    """What a support bears on."""

    on = Word("What is below.", SEAT_KINDS)
    length_mm = length("Length of the bearing along the span.", 100, most=LARGEST_SECTION_MM)
    width_mm = length("Width of the bearing, square to the plane of the frame.", 35, most=LARGEST_SECTION_MM)
    offset_mm = offset("From the node to the middle of the bearing.", [0, -60])
    grade = Name("Grade of what is below, when it is timber.", "C16")
    section = Part(RectangleSchema, "Section of what is below, when it is timber.")
    gap_specified_mm = Number("Gap between the end of the piece and the back of the hanger.", 3, "mm", least=0, most=LARGEST_SECTION_MM)
    member = Name("The piece that sits on it; the lowest at the node when absent.", "BC")
    horn_mm = Number(
        "How far the piece goes on beyond its last metal, to be cut back where walls stand too close.",
        25,
        "mm",
        least=0,
        most=LARGEST_SECTION_MM,
    )


class SupportSchema(DocumentSchema):
    """Where the frame is held."""

    id = Name("What the findings call it.", "S1", required=True)
    node = Name("The node that is held.", "A", required=True)
    holds = Items(Word("A direction.", ("x", "y", "rotation")), "The directions it holds.", most=3, required=True, example=["x", "y"])
    springs = Part(SpringsSchema, "Stiffness in directions that yield.")
    inclined_deg = Number("Turns its x and y counter-clockwise.", 0, "°", least=-360, most=360)
    settlement_mm = offset("Movement it is forced into, [x, y].", [0, -2])
    uplift = Word("“held”: holds both ways (when absent, and listed); “free”: a bearing that can only push.", ("held", "free"))
    seat = Part(SeatSchema, "What it bears on.")
    thrust_by = Text("What takes the wall's thrust, when more than one support holds x.", "ring beam, drawing S-12", longest=200)
    held_down_by = Part(StrapSchema, "The strap or clip that holds it down against uplift.")
