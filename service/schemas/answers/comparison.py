"""Shape of the answer to a comparison, "birdsmouth-comparison-1"."""

from __future__ import annotations

from marshmallow import fields

from rules.subject.design import LEVELS, WAIVED_KINDS
from service.schemas.answers.fields import AnswerSchema, flag, many, number, one, table, text, texts, whole, word
from service.schemas.answers.report import KINDS, VERDICTS, AmountSchema, CitationSchema, PackSchema, SummarySchema
from service.schemas.fields import about


class ComparedElementSchema(AnswerSchema):
    """What a row is about."""

    kind = word("Kind of element.", WAIVED_KINDS)
    id = text("Its id; empty: the design itself.", "TC1")


class GoverningCellSchema(AnswerSchema):
    """What uses most of an element on one side."""

    finding = text("Id of the finding in that side's report.", "f3a9c01b22d4e7aa")
    rule = text("The rule, as pack/rule.", "nds-timber/bending-with-tension")
    part = text("Part of the element; empty: all of it.")
    kind = word("pass or fail.", ("pass", "fail"))
    utilisation = number("Demand over limit.", "1")


class GoverningRowSchema(AnswerSchema):
    """One element on all sides; null where a side measured nothing."""

    element = one(ComparedElementSchema, "The element.")
    cells = fields.List(fields.Nested(GoverningCellSchema, allow_none=True), required=True, metadata=about("A cell a side."))


class CellSchema(AnswerSchema):
    """What one side said."""

    finding = text("Id of the finding in that side's report.", "f3a9c01b22d4e7aa")
    rule = text("The rule, as pack/rule.", "eurocode-timber/tension")
    part = text("Part of the element; empty: all of it.")
    kind = word("Outcome, in the words of SARIF 2.1.0.", KINDS)
    level = word("How grave a fail is; none for other kinds.", (*LEVELS, "none"))
    utilisation = number("Demand over limit.", "1", nullable=True)
    demand = one(AmountSchema, "What is asked of the element.", nullable=True)
    limit = one(AmountSchema, "What it can give.", nullable=True)
    combination = text("The governing combination of actions.", nullable=True)
    at_mm = number("Distance along the member from its first node.", "mm", nullable=True)
    message = text("One sentence with the numbers.")
    citations = many(CitationSchema, "Where the rule comes from.")
    waived = flag("Whether a waiver holds for it.")


class RowSchema(AnswerSchema):
    """One rule's own name, element and part on all sides; null where a side says nothing of it."""

    rule = text("The rule's own name, without its pack.", "bending-with-compression")
    element = one(ComparedElementSchema, "The element.")
    part = text("Part of the element; empty: all of it, or parts that differ from side to side.")
    title = text("The rule's title on the first side that has it.")
    cells = fields.List(fields.Nested(CellSchema, allow_none=True), required=True, metadata=about("A cell a side."))


class ComparedSideSchema(AnswerSchema):
    """One side, and what became of it."""

    name = text("Its name in the request.", "NDS")
    reference = text("Reference of its design.")
    title = text("Title of its design.", nullable=True)
    tradition = text("Code tradition it was judged by; null: no code of practice was in force.", "us", nullable=True)
    grades = table("How it named the design's grades.", fields.String())
    verdict = word("The verdict of its report.", VERDICTS)
    summary = one(SummarySchema, "Counts of its report.")
    packs = many(PackSchema, "The packs it was checked against.")
    not_checked = texts("What nobody looked at.")
    receipt = table("Digests of its design and packs, and the day whose rules held.", fields.String())


class ComparisonReceiptSchema(AnswerSchema):
    """What the answer was made from."""

    request = text("Digest of the request's bytes.", "sha256:b3ef…")
    engine = text("Version of the engine.", "0.1.0")
    options = table("Options of the request.")
    report = text("Digest of this answer without this member.", "sha256:0a97…")


class ComparisonAnswerSchema(AnswerSchema):
    """Findings of several reports side by side."""

    format = text("birdsmouth-comparison-1.", "birdsmouth-comparison-1")
    sides = many(ComparedSideSchema, "The sides, in the order of the request.")
    elements = many(GoverningRowSchema, "What uses most of each element on each side.")
    rows = many(RowSchema, "What each side said of the same thing.")
    left_out = whole("Rows not shown because every side passes there; ?include=all shows them.")
    cautions = texts("What to bear in mind.")
    receipt = one(ComparisonReceiptSchema, "What the answer was made from.")
