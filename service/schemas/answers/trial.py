"""Shapes of a trial's answer, and of the JSON Schemas that are published."""

from __future__ import annotations

from marshmallow import fields

from service.schemas.answers.catalogue import ProblemSchema
from service.schemas.answers.fields import AnswerSchema, flag, many, number, one, text, texts, whole
from service.schemas.answers.report import FindingSchema
from service.schemas.fields import about


class JsonSchemaSchema(AnswerSchema):
    """A JSON Schema, draft 7."""

    title = text("The file it is for.", "pack.yaml")
    description = text("What stands there.")


class TrialFaultSchema(AnswerSchema):
    """One thing about a pack, at its place."""

    file = text("Path inside the pack.", "declared/pitch.yaml")
    line = whole("Line, from 1; 0 where it has no place.")
    column = whole("Column, from 1; 0 where it has no place.")
    message = text("What is wrong.")
    hint = text("What to do; may be empty.")


class NearnessSchema(AnswerSchema):
    """How near an example comes to a threshold."""

    threshold = text("The comparison.", "design.pitch_deg >= 15.0")
    share = number("Difference over the greater side; 0 at the threshold.", "1")
    side = text("under, over or at.", "over")


class TriedExampleSchema(AnswerSchema):
    """One example of a rule."""

    name = text("Its name.")
    expect = text("What the rule must say.", "pass")
    differs = text("What it says otherwise.", nullable=True)
    nearest = one(NearnessSchema, "Its nearest threshold.", nullable=True)


class TriedRuleSchema(AnswerSchema):
    """One declared rule, and what its examples are worth."""

    rule = text("Its name.", "pitch")
    title = text("Its title.")
    sound = flag("Whether every example holds, every answer is shown and every small change is noticed.")
    examples = many(TriedExampleSchema, "Its examples, each with its nearest threshold.")
    missing = texts("Answers no example shows.")
    far = texts("Thresholds no example comes near.")
    mutants = whole("How many small changes were made.")
    unnoticed = texts("Changes no example noticed.")


class TriedDesignSchema(AnswerSchema):
    """What the pack says of one design."""

    status = whole("200, or what POST /v1/checks would answer.")
    reference = text("The design's reference.", required=False)
    chosen = flag("Whether the pack is in force for this design by itself.")
    findings = many(FindingSchema, "Every finding of the pack, passes too.")
    problem = fields.Nested(ProblemSchema, metadata=about("Why the design cannot be checked."))


class TrialAnswerSchema(AnswerSchema):
    """A pack on trial: what is wrong with it, what its examples are worth, what it says of designs."""

    format = text("birdsmouth-trial-1.", "birdsmouth-trial-1")
    pack = text("The pack's pin; null when it cannot be read.", nullable=True)
    faults = many(TrialFaultSchema, "What has to be mended.")
    advice = many(TrialFaultSchema, "What the author should know of.")
    rules = many(TriedRuleSchema, "Its rules; none when it has faults.")
    designs = many(TriedDesignSchema, "The designs, in order; none when it has faults.")
