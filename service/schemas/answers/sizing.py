"""Shape of the answer to a sizing, "birdsmouth-sizing-1"."""

from __future__ import annotations

from marshmallow import fields

from service.schemas.answers.fields import AnswerSchema, flag, many, number, one, table, text, texts, whole, word
from service.schemas.answers.report import VERDICTS, ReportSchema
from service.schemas.fields import about

OUTCOMES = ("found", "nothing-passes", "not-found")
STOPPING = ("fail", "open", "review", "refused")


class SizedGroupSchema(AnswerSchema):
    """What a group of pieces is made of."""

    name = text("Its name in the request.", "rafters")
    stock = text("Id of the stock.", "45x120 C24")
    b_mm = number("Breadth.", "mm")
    h_mm = number("Depth.", "mm")
    grade = text("Grade.", "C24")
    plies = fields.Integer(required=True, strict=True, allow_none=True, metadata=about("How many plies; null: as the design says."))


class StoppedBySchema(AnswerSchema):
    """The gravest of what keeps a choice from passing."""

    rule = text("The rule, as pack/rule; null where the choice is no design that can be checked.", "eurocode-timber/shear", nullable=True)
    kind = word("fail, open or review; refused: it cannot be checked.", STOPPING)
    message = text("One sentence with the numbers.")
    utilisation = number("Demand over limit.", "1", nullable=True)
    member = text("The piece; null where it is about something else.", "BC", nullable=True)


class TriedSchema(AnswerSchema):
    """A choice that was checked."""

    cost = number("What it costs, as cost says.", "as cost says")
    spacing_mm = number("Distance between components; null where it does not vary.", "mm", nullable=True)
    groups = many(SizedGroupSchema, "What the pieces are made of.")
    passes = flag("Whether it is good enough: it passes, or its verdict is among those the request allows.")
    verdict = word("Verdict of its report; null: it cannot be checked.", VERDICTS, nullable=True)
    most_used = number("The highest utilisation of its report.", "1", nullable=True)
    stopped_by = one(StoppedBySchema, "The gravest of what keeps it from passing; null where it passes.", nullable=True)
    stopping = whole("How many findings keep it from passing.")
    lesser = whole("How many fails below level error it has besides: worth looking at, though they stop nothing.")


class CostSchema(AnswerSchema):
    """What costs are."""

    by = word("What they count: prices of the request, or the volume of timber.", ("price", "volume"))
    unit = text("Their unit; 1 for money, of whatever kind.", "m³")
    of = text("Of what.", "one component")
    unpriced = texts("Pieces that do not vary and of which no price is known.")


class CountedSchema(AnswerSchema):
    """How much was looked at."""

    choices = whole("Choices there are.")
    checked = whole("Choices that were checked.")
    cheaper_unchecked = whole("Choices that were not checked and would be better if they passed; 0: the answer is proven.")


class SizingReceiptSchema(AnswerSchema):
    """What the answer was made from."""

    request = text("Digest of the request's bytes.", "sha256:b3ef…")
    engine = text("Version of the engine.", "0.1.0")
    options = table("Options of the request.")
    report = text("Digest of this answer without this member.", "sha256:0a97…")


class SizingAnswerSchema(AnswerSchema):
    """The cheapest choice that passes, with its report, and why the others do not."""

    format = text("birdsmouth-sizing-1.", "birdsmouth-sizing-1")
    reference = text("Reference of the design.")
    title = text("Its title.", nullable=True)
    outcome = word("found; nothing-passes: all were checked; not-found: none of those checked passes.", OUTCOMES)
    proven = flag("Whether every choice was checked that would be better than the answer.")
    in_words = text("The outcome in a sentence.")
    cost = one(CostSchema, "What costs are.")
    counted = one(CountedSchema, "How much was looked at.")
    allow = texts("Verdicts the request takes besides pass.")
    best = one(TriedSchema, "The cheapest that passes; null: none does.", nullable=True)
    nearest = one(TriedSchema, "What comes nearest where none passes.", nullable=True)
    design = fields.Dict(
        required=True, allow_none=True, metadata=about("The design with the best choice in it, ready to be checked again.")
    )
    report = one(ReportSchema, "The report of the best choice, or of the nearest.", nullable=True)
    tried = many(TriedSchema, "All that were checked, the cheapest first.")
    cautions = texts("What to bear in mind.")
    receipt = one(SizingReceiptSchema, "What the answer was made from.")
