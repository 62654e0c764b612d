"""Shapes of what holds the component: bracing, hangers, and what was measured on site."""

from __future__ import annotations

from rules.subject.holding import BRACING_KINDS, DECLARED_PER, GRAINS, HANGER_FIXINGS
from service.limits import LIMITS
from service.schemas.fastening import FastenersSchema
from service.schemas.fields import DocumentSchema, Items, Name, Number, Part, Text, Whole, Word
from service.schemas.frame import LARGEST_SECTION_MM, RectangleSchema, length, place
from service.schemas.strength import StrengthSchema


class NailsSchema(DocumentSchema):
    """Nails through one brace into one piece."""

    count = Whole("How many.", 2, least=1, most=1000, required=True)
    diameter_mm = Number("Diameter.", 3.35, "mm", least=0.1, most=100, required=True)
    length_mm = Number("Length.", 65, "mm", least=1, most=1000, required=True)


class AnchorSchema(DocumentSchema):
    """The fasteners that hand a brace's force on to timber at one place. An anchor into masonry, concrete or steel is declared: anchor_capacity."""

    fasteners = Part(
        FastenersSchema, "Through the brace, or the steel of a strap, into that timber: what they carry is worked out.", required=True
    )
    section = Part(
        RectangleSchema, "Section of that timber, b_mm along the fasteners; absent: of the item of bracing that it is anchored to."
    )
    grade = Name("Its strength grade; absent: of the item of bracing that it is anchored to.", "C16")
    grain = Word(
        "Whether the force goes along or across the grain of that timber; taken to go across when absent, under steel along it too.", GRAINS
    )
    rest_capacity = Part(StrengthSchema, "Where they go through the steel of a strap: what the strap and its other end carry.")


class BracingSchema(DocumentSchema):
    """One item of restraint that is specified."""

    id = Name("What the findings call it.", "battens", required=True)
    kind = Word("What it is.", BRACING_KINDS, required=True)
    members = Items(Name("Id of a member.", "TC1"), "The pieces it holds.", most=LIMITS.members)
    edge = Word("The edge it is fixed to.", ("top", "bottom"))
    from_mm = place("Where it begins, along the piece.", 0)
    to_mm = place("Where it ends.", 4800)
    spacing_mm = length("Distance from one to the next, along the piece.", 345)
    rows = Whole("How many there are.", 2, least=0, most=1000)
    section = Part(RectangleSchema, "Its section.")
    grade = Name("Its strength grade.", "C16")
    angle_deg = Number("Of a diagonal: the angle to the line square to the pieces.", 45, "°", least=0, most=89)
    fixing = Text("How it is fixed.", "2 nails 3.35×65 at each truss", longest=200)
    nails = Part(NailsSchema, "The nails through it into one piece.")
    fixing_capacity = Part(StrengthSchema, "What its fixings to one piece carry.")
    fasteners = Part(FastenersSchema, "What fixes it to one piece, in place of nails and fixing_capacity: what they carry is worked out.")
    anchored_to = Text("What takes its force in the end: another item by its id, or words.", "gable wall by diagonal D1", longest=200)
    anchors = Whole("At how many places along its line that takes its force; 1 when absent.", 2, least=1, most=1000)
    anchor_capacity = Part(StrengthSchema, "What one of these places carries.")
    anchor = Part(AnchorSchema, "What fixes it to timber at one of these places, in place of anchor_capacity.")


class HangerSchema(DocumentSchema):
    """A hanger, by what its maker declares."""

    id = Name("What the findings call it.", "H1", required=True)
    support = Name("The support it is.", "S1", required=True)
    fixed = Word("Whether it is fixed to the face or to the top of what carries it.", HANGER_FIXINGS)
    declared_per = Word("Whether the figures are for one hanger or for a pair.", DECLARED_PER)
    down = Part(StrengthSchema, "What it carries downwards.")
    up = Part(StrengthSchema, "What it holds against uplift.")
    fasteners = Part(
        FastenersSchema, "What fixes one hanger to the timber that carries it, in place of down and up: what they carry is worked out."
    )
    rest_down = Part(
        StrengthSchema, "With fasteners: what the hanger carries downwards apart from them, its fixings to the joist included."
    )
    rest_up = Part(StrengthSchema, "With fasteners: what it holds against uplift apart from them.")


class MeasuredSchema(DocumentSchema):
    """What was measured at one support."""

    support = Name("Id of the support.", "S1", required=True)
    gap_mm = Number("Gap found.", 4, "mm", least=0, most=LARGEST_SECTION_MM)
    bearing_mm = Number("Bearing length found.", 88, "mm", least=0, most=LARGEST_SECTION_MM)


class AsBuiltSchema(DocumentSchema):
    """What was measured on site."""

    clear_width_mm = length("Clear width between the walls.", 8215)
    at_supports = Items(Part(MeasuredSchema), "What was measured at the supports.", most=LIMITS.supports)
    bow_mm = Number("Greatest bow of the component out of its plane.", 8, "mm", least=0, most=LARGEST_SECTION_MM)
    out_of_plumb_mm = Number("How far its top leans from above its bottom.", 12, "mm", least=0, most=LARGEST_SECTION_MM)
