"""The design document, whole."""

from __future__ import annotations

from rules.subject.design import COMPONENT_TYPES
from service.limits import LIMITS
from service.schemas.actions import ActionSchema
from service.schemas.bounds import FINDING
from service.schemas.carried import LoadingSchema
from service.schemas.context import (
    BuildingSchema,
    CodesSchema,
    DeclinedSchema,
    FloorSchema,
    LoadSharingSchema,
    MaterialsSchema,
    RoofSchema,
    SiteSchema,
    WaiverSchema,
)
from service.schemas.fields import DocumentSchema, Flag, Items, Name, Part, Text, Whole, Word
from service.schemas.forms import ByType
from service.schemas.frame import MemberSchema, NodeSchema, SupportSchema, length
from service.schemas.holding import AsBuiltSchema, BracingSchema, HangerSchema
from service.schemas.joints import JointSchema, PlateTypeSchema, SpliceSchema
from service.schemas.shape import ShapeSchema

FORMAT = "birdsmouth-design-1"


class DesignSchema(DocumentSchema):
    """One component: its frame, what it carries, where it stands and which rules are asked for."""

    format = Word("The format of this document.", (FORMAT,), required=True)
    reference = Name("The caller's name for the component; findings are told apart by it.", "MILL-T04", longest=128, required=True)
    title = Text("A title for people.", "Roof over the mill, truss 4", longest=200)
    component_type = Word("What it is.", COMPONENT_TYPES, required=True)
    count = Whole("How many alike.", 12, least=1, most=100_000)
    spacing_mm = length("Distance from one to the next.", 600)
    load_width_mm = length("Width that loads one; the spacing when absent. Differs beside an opening.", 600)
    overall_length_mm = length("Length of the component over all, from end to end of its timber.", 4192)
    load_sharing = Part(LoadSharingSchema, "What spreads load between it and its neighbours; null: nothing is counted on.")
    site = Part(SiteSchema, "Where it will stand.")
    roof = Part(RoofSchema, "The roof it belongs to.")
    floor = Part(FloorSchema, "The floor it belongs to.")
    building = Part(BuildingSchema, "The building it belongs to.")
    codes = Part(CodesSchema, "Which rules are asked for.")
    shape = Part(ShapeSchema, "The frame by its trade shape, in place of nodes, members and supports.")
    nodes = Items(Part(NodeSchema), "Points of the frame.", least=1, most=LIMITS.nodes)
    members = Items(Part(MemberSchema), "Pieces of timber.", least=1, most=LIMITS.members)
    supports = Items(Part(SupportSchema), "Where it is held.", most=LIMITS.supports)
    loading = Part(
        LoadingSchema, "What it carries, from which load cases are derived; absent: the load cases under actions are all there are."
    )
    actions = Items(Part(ActionSchema), "Load cases.", most=LIMITS.actions)
    self_weight = Flag("Whether the frame's own weight is added; it is, when absent.")
    materials = Part(MaterialsSchema, "Grades no pack knows, and how the timber is marked.")
    bracing = ByType(
        "What restraint is specified; null: not stated.",
        text=Word("“none”: there is none.", ("none",)),
        items=Items(Part(BracingSchema), "Items of restraint.", most=LIMITS.bracing),
        part=Part(DeclinedSchema),
    )
    joints = ByType(
        "The joints at nodes, or that all are left to somebody else; a node without an answer stays open.",
        items=Items(Part(JointSchema), "Joints at nodes.", most=LIMITS.nodes),
        part=Part(DeclinedSchema),
    )
    plate_types = Items(Part(PlateTypeSchema), "Punched metal plates as their makers declare them.", most=LIMITS.plate_types)
    splices = Items(Part(SpliceSchema), "Where a piece is made of two.", most=LIMITS.splices)
    hangers = Items(Part(HangerSchema), "Hangers it sits in.", most=LIMITS.supports)
    as_built = Part(AsBuiltSchema, "What was measured on site.")
    waivers = Items(Part(WaiverSchema), "Findings somebody accepts.", most=LIMITS.waivers)
    baseline = Items(
        Text("Id of a finding.", "f3a9c01b22d4e7aa", longest=16, pattern=FINDING),
        "Findings already known; of an empty list, none.",
        most=LIMITS.baseline,
    )
