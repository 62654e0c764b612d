"""Shapes of the catalogue, of the pages for operators, and of problems."""

from __future__ import annotations

from service.schemas.answers.fields import AnswerSchema, anything, flag, many, number, table, text, texts, whole


class PackEntrySchema(AnswerSchema):
    """One pack in the list."""

    id = text("Id.", "eurocode-timber")
    title = text("Title.")
    release = text("Release.", "1.0.0")
    digest = text("Digest of its files.", "sha256:0a97…")


class BrokenPackSchema(AnswerSchema):
    """A pack that was found and cannot be used."""

    name = text("Its folder or entry point.")
    origin = text("Where it comes from.")
    required = flag("Whether nothing is checked without it.")
    faults = texts("What is wrong with it: file, line, column and words.")


class PackListSchema(AnswerSchema):
    """The packs there are."""

    packs = many(PackEntrySchema, "Packs that can be used, by id.")
    broken = many(BrokenPackSchema, "Packs that cannot.")


class PackPageSchema(PackEntrySchema):
    """One pack: what it restates, its values and rules with their sources, what it does not cover."""


class RulePageSchema(AnswerSchema):
    """One rule: what it asks, how it is calculated, where it comes from, cases that show it."""

    title = text("Title.")


class HealthSchema(AnswerSchema):
    """The process is alive."""

    alive = flag("true.")


class ReadinessSchema(AnswerSchema):
    """Designs can be checked."""

    ready = flag("true.")
    packs = whole("How many packs can be used.")
    broken = many(BrokenPackSchema, "Packs that cannot, none of which has to be there.")


class VersionPackSchema(AnswerSchema):
    """One pack, pinned."""

    id = text("Id.", "eurocode-timber")
    edition = text("Edition.", "2004+A2:2014", nullable=True)
    release = text("Release.", "1.0.0")
    digest = text("Digest.", "sha256:0a97…")


class VersionSchema(AnswerSchema):
    """What runs here."""

    engine = text("Version of the engine.", "0.1.0")
    format = text("Format of the design documents it takes.", "birdsmouth-design-1")
    python = text("Version of Python.", "3.11.7")
    numpy = text("Version of numpy.", "2.4.6")
    packs = many(VersionPackSchema, "Packs, by id.")
    limits = table("What one request may ask for, by name.", number("The limit.", "as the name says"))


class ExplanationSchema(AnswerSchema):
    """One kind of error, or of fault, in words."""

    code = text("Its code.", "design-refused")
    meaning = text("What happened.")
    status = whole("HTTP status, of an error.", required=False)
    title = text("Title, of an error.", required=False)
    remedy = text("What to do, of an error.", required=False)


class FaultSchema(AnswerSchema):
    """One thing wrong."""

    pointer = text("JSON pointer into the design, or to the option of the query; empty: all of it.", "/members/3/grade")
    code = text("Kind of fault; its page is /problems/{code}.", "unknown-field")
    detail = text("What is wrong.")
    found = anything("What was found; long values are described.")
    allowed = anything("What would be right.")
    hint = text("What to do.")


class ProblemSchema(AnswerSchema):
    """An error, as RFC 9457 has it, with every fault at once."""

    type = text("Address of the page on this kind of error.", "/problems/design-refused")
    title = text("What happened.")
    status = whole("HTTP status.")
    detail = text("What happened this time.")
    instance = text("Names this request.", "urn:birdsmouth:request:7b0c…", required=False)
    errors = many(FaultSchema, "Every fault, at most 100 of them.")
    more = whole("How many faults were counted beyond those.", required=False)
