"""Shape of a trade shape: a form, a few dimensions, and what its pieces are made of."""

from __future__ import annotations

from rules.subject.frame import ROLES
from rules.subject.shape import FORMS
from service.limits import LIMITS
from service.schemas.bounds import SLUG
from service.schemas.fields import DocumentSchema, Name, Number, Part, Table, Whole, Word
from service.schemas.forms import ByType
from service.schemas.frame import LARGEST_SECTION_MM, RestraintSpacingSchema, TreatmentSchema, length, section

LONGEST_SPAN_MM = 100_000.0


class MakeSchema(DocumentSchema):
    """What all pieces of one role are made of."""

    section = section("One ply's section.", required=True)
    grade = Name("Strength grade, as of a member.", "C24", required=True)
    plies = Whole("How many pieces of this section lie side by side; 1 when absent.", 1, least=1, most=LIMITS.plies)
    restraint_spacing = Part(RestraintSpacingSchema, "Distances between the restraints relied on, as of a member.")
    treatment = ByType("Preservative treatment; null: not stated.", text=Word("“none”: untreated.", ("none",)), part=Part(TreatmentSchema))


class ShapeSchema(DocumentSchema):
    """A frame by its trade shape. Which dimensions a form needs is told when one is missing; POST /v1/expansions writes the frame out."""

    form = Word("The form.", FORMS, required=True)
    span_over_plates_mm = length("Roofs: from outer edge to outer edge of the wall plates.", 8400, most=LONGEST_SPAN_MM)
    pitch_deg = Number("Roofs: pitch of the rafters.", 35, "°", least=3, most=75)
    ceiling_pitch_deg = Number("Scissor: pitch of the ties.", 17.5, "°", least=1, most=70)
    overhang_mm = Number(
        "Roofs: from the outer edge of a plate to the end of the rafter, on plan.", 450, "mm", least=0, most=LARGEST_SECTION_MM
    )
    plate_width_mm = length("Roofs: width of the wall plate, which is the length of the bearing.", 100, most=LARGEST_SECTION_MM)
    plate_grade = Name("Grade of the timber the frame stands on.", "C16")
    tie_height_mm = length("Raised tie: from the rafter's foot up to the tie, between centre lines.", 1200, most=LONGEST_SPAN_MM)
    room_width_mm = length("Attic: width of the room, between centre lines of the posts.", 4200, most=LONGEST_SPAN_MM)
    room_height_mm = length("Attic: height of the room, between centre lines of tie and collar.", 2400, most=LONGEST_SPAN_MM)
    clear_span_mm = length("Joists: clear distance between the bearings.", 4000, most=LONGEST_SPAN_MM)
    bearing_mm = length("Joists: length of each bearing.", 90, most=LARGEST_SECTION_MM)
    depth_mm = length("Open-web joist: overall depth.", 254, most=LARGEST_SECTION_MM)
    panels = Whole("Open-web joist: bays of the bottom chord.", 8, least=2, most=60)
    pieces = Table(SLUG, Part(MakeSchema), f"What the pieces are made of, by role: {', '.join(ROLES)}.", most=len(ROLES))
