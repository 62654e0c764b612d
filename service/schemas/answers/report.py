"""Shape of the report, "birdsmouth-report-1"."""

from __future__ import annotations

from marshmallow import fields

from rules.subject.design import LEVELS
from service.schemas.answers.drawn import DrawnFrameSchema
from service.schemas.answers.fields import AnswerSchema, anything, flag, many, number, one, table, text, texts, whole, word
from service.schemas.answers.response import ResponseSchema
from service.schemas.answers.schedules import BearingRowSchema, BracingPartSchema

KINDS = ("pass", "fail", "open", "review", "informational", "notApplicable")
VERDICTS = ("pass", "fail", "open", "review")


class CitationSchema(AnswerSchema):
    """Where a rule or value comes from, and whether it was read there."""

    document = text("Document.", "EN 1995-1-1", nullable=True, required=False)
    edition = text("Edition.", "2004+A2:2014", nullable=True, required=False)
    clause = text("Clause.", "6.2.4", nullable=True)
    equation = text("Equation or table.", "(6.19)", nullable=True, required=False)
    seen = text("How it is known: read, memory, or common practice without a published source.", "read")


class GoverningSchema(AnswerSchema):
    """The finding with the highest utilisation."""

    finding = text("Its id.", "f3a9c01b22d4e7aa")
    utilisation = number("Demand over limit.", "1")


class SummarySchema(AnswerSchema):
    """How many findings there are of each kind. Waived ones are counted as waived only."""

    fail = whole("Shown not to hold.")
    open = whole("Could not be decided.")
    review = whole("A person has to look.")
    informational = whole("To know.")
    notApplicable = whole("The rule says nothing here.")
    waived = whole("Accepted by a waiver that holds.")
    warnings = whole("Of level warning.")
    governing = one(GoverningSchema, "The highest utilisation; null when nothing was measured.", nullable=True)

    class Meta(AnswerSchema.Meta):
        include = {"pass": whole("Shown to hold.")}  # noqa: RUF012  # marshmallow's own way to a name Python keeps


class PackSchema(AnswerSchema):
    """One pack the design was checked against."""

    id = text("Id.", "eurocode-timber")
    layer = text("code, grades, national, region or practice.", "code")
    edition = text("Edition of the document it restates.", "2004+A2:2014", nullable=True)
    release = text("Release of the pack.", "1.0.0")
    digest = text("Digest of its files.", "sha256:0a97…")
    selected_because = text("Why it was chosen.", "site in GB, as of 2026-11-25")


class AssumptionSchema(AnswerSchema):
    """A value taken for the caller, because none was stated."""

    pointer = text("Where in the design it would be stated, as a JSON pointer.", "/members/2/restraint_spacing/out_of_plane_mm")
    value = anything("The value taken.")
    because = text("Why this one.")
    confirm = text("Who has to confirm it.", "designer", nullable=True)
    citation = anything("Where it comes from; null when from nowhere but practice.")


class WhereSchema(AnswerSchema):
    """The place a finding is about."""

    member = text("Id of the member.", "TC1", nullable=True)
    node = text("Id of the node.", nullable=True)
    support = text("Id of the support.", nullable=True)
    brace = text("Id of the item of bracing.", nullable=True, required=False)
    at_mm = number("Distance along the member from its first node.", "mm", nullable=True)
    pointer = text("JSON pointer into the design.", "/members/0")


class AmountSchema(AnswerSchema):
    """A value with its unit."""

    value = number("The value.", "as unit says")
    unit = text("Its unit; 1 for a ratio.", "N/mm²")


class StepSchema(AnswerSchema):
    """One step of the working."""

    symbol = text("Symbol, as the clause writes it.", "σ_m,y,d")
    expression = text("How it was found.", "M / W_y")
    value = anything("What it came to.")
    unit = text("Its unit.", "N/mm²")
    clause = text("The clause.", "6.1.6", nullable=True)
    number = text(
        "Name of the pack's own number that stands here, as under `numbers`; null of a formula and of what was given.",
        "gamma_m",
        nullable=True,
    )


class LayerSchema(AnswerSchema):
    """One layer's word on a number."""

    value = anything("The number or word; null of a table.")
    by = anything("Of a table: what its keys stand for; null of a number.")
    pack = text("The pack that says so, or the design itself.", "uk-national")
    layer = text("code, grades, national, region, practice or caller; later ones speak over earlier ones.", "national")
    edition = text("Edition of the pack's document; null of the caller's own.", nullable=True)
    release = text("Release of the pack; null of the caller's own.", nullable=True)
    because = text("The caller's reason; null of a pack's number.", nullable=True)
    source = text("Where it stands, in words.")
    seen = text("How far it was seen: read, memory or practice.", "read")


class NumberSchema(LayerSchema):
    """A number of a pack, and where it comes from."""

    symbol = text("As printed.", "γ_M")
    what = text("What it is.")
    unit = text("Its unit.", "1")
    in_place_of = many(LayerSchema, "What it replaced, the nearest layer first.")


class ChangedSchema(NumberSchema):
    """A number the caller replaced, that a finding rests on."""

    name = text("Its name, as in codes.parameters.", "gamma_m")


class GradeSchema(AnswerSchema):
    """A grade of the design, and where its strengths come from."""

    id = text("The grade.", "C24")
    kind = text("What it is made of.", "solid-timber")
    pack = text("The pack that tells it; null where the design does.", "grades-en", nullable=True)
    source = text("Where it stands, in words.")
    seen = text("read, memory, practice, or stated by the design.", "read")
    invented = flag("Whether it is marked as invented.")


class HeldWaiverSchema(AnswerSchema):
    """The waiver by which a finding is accepted."""

    reason = text("Why.")
    approved_by = text("By whom.")
    expires = text("Last day it holds.", "2027-03-31")


class FindingSchema(AnswerSchema):
    """One judgement: of one rule, on one element or part of it."""

    id = text("Stays the same from run to run: 16 hex digits of pack, rule, reference, element and part.", "f3a9c01b22d4e7aa")
    rule = text("The rule, as pack/rule; its page is /v1/rules/{pack}/{rule}.", "eurocode-timber/bending-with-compression")
    kind = word("Outcome, in the words of SARIF 2.1.0.", KINDS)
    level = word("How grave a fail is; none for other kinds.", (*LEVELS, "none"))
    decided_by = text("What decided kind and level.", "rule")
    title = text("The rule's title.")
    message_id = text("Stable name of the message.")
    values = table("The values in the message.")
    message = text("One sentence with the numbers.")
    where = one(WhereSchema, "The place it is about.")
    part = text("Part of the element; empty: all of it.")
    combination = text("The governing combination of actions.", nullable=True)
    utilisation = number("Demand over limit.", "1", nullable=True)
    demand = one(AmountSchema, "What is asked of the element.", nullable=True)
    limit = one(AmountSchema, "What it can give.", nullable=True)
    working = many(StepSchema, "How demand and limit were found.")
    parameters = many(ChangedSchema, "Numbers the caller replaced that this rests on, each with its reason.")
    citations = many(CitationSchema, "Where the rule comes from.")
    remedies = texts("What would help.")
    waiver = one(HeldWaiverSchema, "The waiver that holds for it.", nullable=True)
    baseline_state = text("new or unchanged against the baseline given; null without one.", nullable=True)


class CoverageSchema(AnswerSchema):
    """How often one rule said what."""

    rule = text("The rule.")
    fail = whole("Fails.")
    open = whole("Opens.")
    notApplicable = whole("Times it had nothing to say.")
    because = table("Why it had nothing to say, with how often.")


class ClauseCoverageSchema(AnswerSchema):
    """What became of one clause of a document."""

    pack = text("The pack that restates the document.", "eurocode-timber")
    clause = text("The clause, or clauses that go together.", "6.1.6")
    what = text("What it is about.")
    state = word("Whether any of its rules spoke; open: none could be decided.", ("judged", "open", "notApplicable", "notImplemented"))
    because = texts("Why it was not judged.")
    rules = texts("The rules that judge it, as pack/rule.")


class LoadSchema(AnswerSchema):
    """A load case worked out from what is carried and where it stands."""

    action = text("Its id.", "snow-even")
    nature = text("What kind of action it is.", "snow")
    what = text("What it is, in words.")
    replaced = flag("Whether the design states a load case of its own in its place, so that this one does not act.")
    working = many(StepSchema, "How it was worked out.")
    citations = many(CitationSchema, "Where its numbers come from.")


class ReceiptSchema(AnswerSchema):
    """What the report was made from. The same receipt on the same image means the same bytes."""

    design = text("Digest of the accepted design.", "sha256:b3ef…")
    subject = text("Digest of what is built and loaded; waivers bind to it.", "sha256:ba17…")
    engine = text("Version of the engine.", "0.1.0")
    packs = text("Digest of the packs.", "sha256:7935…")
    as_of = text("The day whose rules were used.", "2026-11-25")
    options = table("What of the report was asked for.")
    report = text("Digest of this document without this member.", "sha256:5c1e…")


class ReportSchema(AnswerSchema):
    """What was found. A failing design is answered with 200: the check was made."""

    format = word("Format of this document.", ("birdsmouth-report-1",))
    reference = text("The caller's name for the component.", "MILL-T04")
    title = text("Its title.", nullable=True, required=False)
    verdict = word(
        "fail: something fails; open: something could not be decided; review: somebody has to look; pass: none of these.", VERDICTS
    )
    summary = one(SummarySchema, "Counts.")
    packs = many(PackSchema, "The packs it was checked against, and why these.")
    assumptions = many(AssumptionSchema, "Every value taken for the caller.")
    findings = many(FindingSchema, "Findings, gravest first.")
    numbers = table(
        "Every number of a pack that stands in the working shown, by name, and where it comes from.", fields.Nested(NumberSchema)
    )
    grades = many(GradeSchema, "The grades of the design, and where their strengths come from.")
    coverage = many(CoverageSchema, "Every rule that ran, with its outcomes.")
    coverage_by_clause = many(ClauseCoverageSchema, "Every clause of the packs in force: judged, open, not applicable or not implemented.")
    not_checked = texts("What none of these rules looks at.")
    load_cases = many(LoadSchema, "The load cases that were worked out; empty when the design gives them all.")
    response = one(ResponseSchema, "The analysis; null when not asked for.", nullable=True)
    frame = one(DrawnFrameSchema, "The frame that was judged, for whoever draws it.", required=False)
    quantities = table("Timber and mass.")
    bearings = many(BearingRowSchema, "The bearings, one by one.", required=False)
    bracing = one(BracingPartSchema, "The bracing schedule.", required=False)
    cautions = texts("What to bear in mind.")
    receipt = one(ReceiptSchema, "What it was made from.")
