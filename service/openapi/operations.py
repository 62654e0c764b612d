"""The list of operations: what each takes, what it answers. A test holds it against the routes of the application."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from marshmallow import Schema

from rules.library.json_schemas import SHAPES
from service.formats.dressing import FORMATS
from service.openapi.examples import SMALL_COMPARISON, SMALL_JOB, SMALL_ROOF, SMALL_SHAPE, SMALL_SIZING, SMALL_TRIAL
from service.schemas.answers.catalogue import (
    ExplanationSchema,
    HealthSchema,
    PackListSchema,
    PackPageSchema,
    ReadinessSchema,
    RulePageSchema,
    VersionSchema,
)
from service.schemas.answers.comparison import ComparisonAnswerSchema
from service.schemas.answers.job import JobAnswerSchema
from service.schemas.answers.report import ReportSchema
from service.schemas.answers.response import AnalysisSchema
from service.schemas.answers.sizing import SizingAnswerSchema
from service.schemas.answers.trial import JsonSchemaSchema, TrialAnswerSchema
from service.schemas.comparison import ComparisonSchema
from service.schemas.design import DesignSchema
from service.schemas.job import JobSchema
from service.schemas.query import CheckQuerySchema, QuerySchema
from service.schemas.sizing import SizingSchema
from service.schemas.trial import TrialSchema

SCHEMA = "application/schema+json"
JSON, TEXT, HTML, YAML = "application/json", "text/plain", "text/html", "application/yaml"
NDJSON, MARKDOWN = "application/x-ndjson", "text/markdown"


@dataclass(frozen=True, slots=True)
class Operation:
    """One method of one path. answers: media type → schema of the 200, None for one that is no JSON; problems: statuses it may fail with.

    places: the parts of the path, name → what it means. example: of what it takes: name, summary, value.
    """

    method: str
    path: str
    name: str
    tag: str
    summary: str
    description: str
    answers: Mapping[str, type[Schema] | None]
    problems: tuple[int, ...] = ()
    takes: type[Schema] | None = None
    options: type[Schema] | None = None
    places: Mapping[str, str] = field(default_factory=dict)
    lines: bool = False
    example: tuple[str, str, Mapping[str, Any]] = ("small-roof", "A pair of rafters with a tie", SMALL_ROOF)


_CLOSED = (401, 403)
_DESIGN_PROBLEMS = (400, *_CLOSED, 406, 408, 413, 415, 422, 500, 503)
_PACK = {"pack": "Id of a pack, as /v1/packs lists it."}

OPERATIONS = (
    Operation(
        "post", "/v1/checks", "check", "Designs", "Check a design",
        "Analyses one component and holds it against the rules in force at its site. A design that fails is answered with 200 and says so: "
        "the check was made. 422 means it could not be made; every fault of the document is listed, each with its JSON pointer.\n\n"
        "The same is answered to the method QUERY (RFC 10008), which OpenAPI 3.1 has no word for: it says that asking changes nothing. Its "
        "answer has an ETag; ask again with If-None-Match, and 304 says that the report you hold is still what would be answered.",
        {JSON: ReportSchema, TEXT: None, **{form.media_type: None for form in FORMATS.values() if form.media_type}},
        _DESIGN_PROBLEMS, DesignSchema, CheckQuerySchema,
    ),
    Operation(
        "post", "/v1/checks/batch", "checkBatch", "Designs", "Check many designs",
        "A design a line, as JSON without line breaks; up to 1 000 lines and 32 MiB (batch_lines and batch_bytes at /version). The whole body is "
        "read before the first byte of the answer, then a line is answered for each design, in order: "
        '`{"line": 7, "status": 200, "report": {…}}` or `{"line": 7, "status": 422, "problem": {…}}`, and at the end `{"lines": n, "failed": k}`, '
        "k lines with another status than 200. An answer without that last line is not whole. Frames that differ only in what they are called are judged once.",
        {NDJSON: None}, (400, *_CLOSED, 406, 408, 413, 415, 500, 503), options=QuerySchema, lines=True,
    ),
    Operation(
        "post", "/v1/analyses", "analyse", "Designs", "Analyse a design",
        "Forces, reactions and deflections of one component in every load case and combination, without judgement.",
        {JSON: AnalysisSchema}, _DESIGN_PROBLEMS, DesignSchema,
    ),
    Operation(
        "post", "/v1/comparisons", "compare", "Designs", "Compare",
        "One design under several packs, days or code traditions, or a design for each side: every side is checked as POST /v1/checks would, and "
        "their findings stand side by side. A side may put its own site, codes and names of grades over the design. A grade a side does not know "
        "is refused with 422 and never guessed. Rules of different packs that ask the same have the same name after the slash.",
        {JSON: ComparisonAnswerSchema, TEXT: None, MARKDOWN: None, HTML: None}, _DESIGN_PROBLEMS, ComparisonSchema, QuerySchema,
        example=SMALL_COMPARISON,
    ),
    Operation(
        "post", "/v1/sizings", "size", "Designs", "Choose timber",
        "A design, what of it may vary and the timber in stock: answers the cheapest choice that passes, its report, the design with the choice in it, "
        "and of every other choice that was checked what stopped it. Cheapest by cost_per_m, or without prices by volume. Pieces that do not pass are made "
        "stronger until all pass; then what is cheaper is checked, as far as most_checks goes (limits at /version: sizing_checks). proven says whether every "
        "cheaper choice was checked. Nothing passes: 200, with what comes nearest. A choice that is open passes only where allow says so.",
        {JSON: SizingAnswerSchema, TEXT: None, MARKDOWN: None, HTML: None}, _DESIGN_PROBLEMS, SizingSchema, QuerySchema,
        example=SMALL_SIZING,
    ),
    Operation(
        "post", "/v1/jobs", "doJob", "Designs", "Check the designs of a building",
        "Many designs as one document, with what holds for all of them: each is checked as POST /v1/checks would, and one verdict, the findings rule by rule "
        "and the timber of all of it stand over them. What is wrong with one design is told beside it and costs the others nothing; the verdict is then open at "
        "best. A design that says otherwise than the job of site or codes is refused, not overruled. Up to 200 designs and 8 MiB (job_designs and job_bytes at "
        "/version), each within its own deadline. The job is answered in the one request; nothing of it is kept.",
        {JSON: JobAnswerSchema, TEXT: None, MARKDOWN: None, HTML: None}, _DESIGN_PROBLEMS, JobSchema, QuerySchema, example=SMALL_JOB,
    ),
    Operation(
        "post", "/v1/expansions", "expand", "Designs", "Write a design out",
        "The same design with its shape as nodes, members and supports, and with every load case that the packs in force derive from what it "
        "carries and where it stands under actions. Checking the answer finds what checking the original finds, so either may be kept, and "
        "what was drawn or derived may be changed by hand first.",
        {JSON: DesignSchema}, _DESIGN_PROBLEMS, DesignSchema, example=("small-shape", "A trussed rafter by its shape and what it carries", SMALL_SHAPE),
    ),
    Operation(
        "get", "/v1/packs", "listPacks", "Rules", "List the rule packs",
        "Every pack that can be used, and every one that was found and cannot. For a browser, a page: what holds where, since when, by whose word.",
        {JSON: PackListSchema, HTML: None}, (400, *_CLOSED, 406),
    ),
    Operation(
        "get", "/v1/packs/{pack}", "showPack", "Rules", "Show a rule pack",
        "What it restates, its values and rules with their sources, and what it does not cover.",
        {JSON: PackPageSchema}, (400, *_CLOSED, 404, 406), places=_PACK,
    ),
    Operation(
        "get", "/v1/rules/{pack}/{rule}", "showRule", "Rules", "Show a rule",
        "What it asks, how it is calculated, where it comes from, and cases that show it at work.",
        {JSON: RulePageSchema}, (400, *_CLOSED, 404, 406), places={**_PACK, "rule": "The rule's own name, the second half of a finding's rule."},
    ),
    Operation(
        "get", "/v1/schemas/{name}", "showSchema", "Rules", "Give a JSON Schema for pack files",
        "Draft 7, for editors: what may stand in pack.yaml, values.yaml, materials.yaml, a declared rule, or the cases of a formula rule.",
        {SCHEMA: JsonSchemaSchema, JSON: JsonSchemaSchema}, (400, *_CLOSED, 404, 406), places={"name": f"One of {', '.join(SHAPES)}."},
    ),
    Operation(
        "post", "/v1/trials", "tryPack", "Rules", "Try a rule pack",
        "A declared pack as its files, and designs to try it on. Answers what is wrong with the pack, what its examples are worth and "
        "what it says of the designs; nothing is kept. Taken from the machine the service runs on, or with a token.",
        {JSON: TrialAnswerSchema}, _DESIGN_PROBLEMS, TrialSchema, example=SMALL_TRIAL,
    ),
    Operation("get", "/", "front", "Operation", "Front page", "Says what this is.", {HTML: None}),
    Operation("get", "/healthz", "health", "Operation", "Alive?", "Answers when the process is alive.", {JSON: HealthSchema}),
    Operation(
        "get", "/readyz", "readiness", "Operation", "Ready?",
        "Answers 200 when designs can be checked: the packs are loaded, and a frame whose reactions are known came out right just now.",
        {JSON: ReadinessSchema}, (503,),
    ),
    Operation(
        "get", "/version", "version", "Operation", "What runs here",
        "Versions, packs with their digests, and the limits of one request.",
        {JSON: VersionSchema},
    ),
    Operation(
        "get", "/metrics", "figures", "Operation", "Figures",
        "Counts and times of all processes of this service, in the text form Prometheus reads. No label holds anything a caller wrote.",
        {TEXT: None}, (401, 403),
    ),
    Operation("get", "/docs", "reference", "Operation", "Reference", "This document as a page for people.", {HTML: None}),
    Operation("get", "/openapi.yaml", "contract", "Operation", "This document", "The contract, as OpenAPI 3.1.", {YAML: None}),
    Operation(
        "get", "/problems/{code}", "explain", "Operation", "Explain an error",
        "One kind of error, or of fault in a document, in words.",
        {JSON: ExplanationSchema, HTML: None}, (404, 406), places={"code": "The code, from type or from an error's code."},
    ),
)  # fmt: skip
"""Every operation, in the order in which the reference lists them."""
