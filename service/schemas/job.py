"""The shape of a job: the designs of one building, and what holds for all of them."""

from __future__ import annotations

from service.limits import LIMITS
from service.schemas.context import CodesSchema, SiteSchema
from service.schemas.fields import DocumentSchema, Items, Name, Part, Text, Word
from service.schemas.trial import AnyDesign

FORMAT = "birdsmouth-job-1"
STOPS = ("refused", "fail")
REPORTS = ("all", "not-passing", "none")


class JobSchema(DocumentSchema):
    """Many designs as one document. What the job says of site and codes holds for each; a design that says otherwise is refused."""

    format = Word("The format of this document.", (FORMAT,), required=True)
    reference = Name("The caller's name for the job.", "HOUSE-12", longest=128, required=True)
    title = Text("A title for people.", "House at the quay, roof and floors", longest=200)
    site = Part(SiteSchema, "Where all of it will stand.")
    codes = Part(CodesSchema, "Which rules are asked for, for all of it.")
    designs = Items(AnyDesign(), "The designs, each with a reference of its own.", least=1, most=LIMITS.job_designs, required=True)
    stop_on = Word("End at the first design that cannot be checked, or also at the first that fails; go on to the end when absent.", STOPS)
    reports = Word("Whose reports are given: of all designs (when absent), of those that do not pass, or of none.", REPORTS)
