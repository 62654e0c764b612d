"""Shape of the answer to a job, "birdsmouth-job-report-1"."""

from __future__ import annotations

from marshmallow import fields

from service.schemas.answers.catalogue import ProblemSchema
from service.schemas.answers.fields import AnswerSchema, many, number, one, table, text, texts, whole, word
from service.schemas.answers.report import VERDICTS, ReportSchema, SummarySchema
from service.schemas.fields import about


class JobSummarySchema(AnswerSchema):
    """How many designs came out how."""

    designs = whole("Designs of the job.")
    fail = whole("Designs that fail.")
    open = whole("Designs that are open.")
    review = whole("Designs a person has to look at.")
    refused = whole("Designs that could not be checked.")
    not_reached = whole("Designs after the one that ended the job.")
    components = whole("Components of all designs that could be checked.")

    class Meta(AnswerSchema.Meta):
        include = {"pass": whole("Designs that pass.")}  # noqa: RUF012  # marshmallow's own way to a name Python keeps


class JobDesignSchema(AnswerSchema):
    """What became of one design."""

    index = whole("Its place in the job, from 0.")
    reference = text("Its reference; null where it has none that can be read.", "TARROWBY-T01", nullable=True)
    title = text("Its title.", nullable=True)
    count = whole("How many there are of it.")
    status = fields.Integer(
        required=True, strict=True, allow_none=True, metadata=about("As POST /v1/checks would answer it; null: not reached.")
    )
    verdict = word("Verdict of its report; null: it has none.", VERDICTS, nullable=True)
    summary = one(SummarySchema, "Counts of its report.", nullable=True)
    report = one(ReportSchema, "Its report, where it was asked for.", nullable=True)
    problem = one(ProblemSchema, "Why it could not be checked, its pointers into the design.", nullable=True)


class JobRuleSchema(AnswerSchema):
    """A rule that found something."""

    rule = text("The rule, as pack/rule.", "eurocode-timber/shear")
    title = text("Its title.")
    fail = whole("Fails, whatever their level, that are not waived.")
    open = whole("Open findings that are not waived.")
    review = whole("Findings for review that are not waived.")
    designs = fields.List(
        fields.String(allow_none=True), required=True, metadata=about("References of the designs, in the order of the job.")
    )


class JobTimberSchema(AnswerSchema):
    """Timber of one section and grade, of all components."""

    b_mm = number("Breadth.", "mm")
    h_mm = number("Depth.", "mm")
    grade = text("Grade.", "C24")
    pieces = whole("Pieces, each ply for itself.")
    length_m = number("Length between end nodes, without cuts and waste.", "m")


class JobReceiptSchema(AnswerSchema):
    """What the answer was made from."""

    request = text("Digest of the request's bytes.", "sha256:b3ef…")
    engine = text("Version of the engine.", "0.1.0")
    options = table("Options of the request.")
    report = text("Digest of this answer without this member.", "sha256:0a97…")


class JobAnswerSchema(AnswerSchema):
    """Many designs, one verdict."""

    format = text("birdsmouth-job-report-1.", "birdsmouth-job-report-1")
    reference = text("Reference of the job.")
    title = text("Its title.", nullable=True)
    verdict = word("The gravest of all designs; open at best where one could not be checked or was not reached.", VERDICTS)
    summary = one(JobSummarySchema, "How many designs came out how.")
    rules = many(JobRuleSchema, "Rules that found something, over all designs.")
    timber = many(JobTimberSchema, "Timber of all components that could be checked.")
    designs = many(JobDesignSchema, "The designs, in the order of the job.")
    cautions = texts("What to bear in mind.")
    receipt = one(JobReceiptSchema, "What the answer was made from.")
