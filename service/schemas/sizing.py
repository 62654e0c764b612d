"""The shape of a sizing: a design, the timber in stock, and which pieces may be made of which of it."""

from __future__ import annotations

from rules.subject.frame import ROLES
from service.limits import LIMITS
from service.schemas.fields import DocumentSchema, Items, Name, Number, Part, Whole, Word
from service.schemas.frame import LARGEST_SECTION_MM, length
from service.schemas.trial import AnyDesign

ALLOWABLE = ("open", "review")
DEAREST = 1e6


class StockSchema(DocumentSchema):
    """Timber that can be had."""

    id = Name("What the request and the answer call it.", "45x120 C24", required=True)
    b_mm = Number("Breadth, square to the plane of the frame.", 45, "mm", least=1, most=LARGEST_SECTION_MM, required=True)
    h_mm = Number("Depth, in the plane of the frame.", 120, "mm", least=1, most=LARGEST_SECTION_MM, required=True)
    grade = Name("Strength grade, as of a member.", "C24", required=True)
    cost_per_m = Number(
        "What a metre costs, in whatever money; of all stock or of none. Without it the least timber is looked for.",
        3.15, "1/m", least=0, most=DEAREST,
    )  # fmt: skip


class VarySchema(DocumentSchema):
    """Pieces that are made alike, and what of. Either members or role says which."""

    name = Name("What the answer calls them.", "rafters", required=True)
    role = Word("All pieces of this role. A shape takes only this.", ROLES)
    members = Items(Name("Id of a member.", "TC1"), "The pieces.", least=1, most=LIMITS.members)
    stock = Items(
        Name("Id of a piece of stock.", "45x120 C24"), "What they may be made of; all stock when absent.", least=1, most=LIMITS.sizing_stock
    )
    plies = Items(
        Whole("How many lie side by side.", 1, least=1, most=LIMITS.plies), "How many plies they may have; as the design says when absent.",
        least=1, most=LIMITS.plies,
    )  # fmt: skip


class SizingSchema(DocumentSchema):
    """A design, what of it may vary, and the timber to choose from."""

    design = AnyDesign(required=True)
    stock = Items(Part(StockSchema), "Timber that can be had.", least=1, most=LIMITS.sizing_stock, required=True)
    vary = Items(Part(VarySchema), "Which pieces may vary.", least=1, most=LIMITS.sizing_groups, required=True)
    spacings_mm = Items(
        length("Distance from one component to the next.", 600),
        "Distances from one component to the next to choose from; costs are then of a metre of building. Needs loading by which the loads follow.",
        least=1, most=LIMITS.sizing_spacings, example=[400, 600],
    )  # fmt: skip
    component_cost = Number(
        "What one component costs besides the pieces that vary; of weight where spacings vary.", 22.5, "1", least=0, most=DEAREST
    )
    allow = Items(
        Word("A verdict.", ALLOWABLE), "Verdicts that are taken besides pass. A design that is open or for review is not shown to hold.",
        most=len(ALLOWABLE),
    )  # fmt: skip
    most_checks = Whole(
        f"How many choices are checked at most; {LIMITS.sizing_usual_checks} when absent.", 40, least=1, most=LIMITS.sizing_checks
    )
