"""The shape of a comparison: a design for all sides, and each side's own name, rules, site and grades."""

from __future__ import annotations

from service.limits import LIMITS
from service.schemas.bounds import IDENTIFIER
from service.schemas.context import CodesSchema, SiteSchema
from service.schemas.fields import DocumentSchema, Items, Name, Part, Table
from service.schemas.trial import AnyDesign


class CompareSideSchema(DocumentSchema):
    """One side of a comparison."""

    name = Name("What the answer calls it.", "Eurocode, United Kingdom", required=True)
    design = AnyDesign()
    site = Part(SiteSchema, "Put over the design's site, member by member.")
    codes = Part(CodesSchema, "Put over what the design asks for, member by member: packs, day, parameters.")
    grades = Table(
        IDENTIFIER, Name("The grade on this side.", "DF-L No.2"),
        "How this side names the design's grades. A grade that is not named here is looked up as it is; one the side does not know is refused.",
        most=LIMITS.grades, example={"C24": "DF-L No.2"},
    )  # fmt: skip


class ComparisonSchema(DocumentSchema):
    """Two sides or more: one design under several rules, dates or traditions, or a design for each side."""

    design = AnyDesign()
    sides = Items(
        Part(CompareSideSchema), "The sides, in the order of the answer's columns.", least=2, most=LIMITS.comparison_sides, required=True
    )
