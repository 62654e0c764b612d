"""Every error that leaves, in one shape: RFC 9457 problem details, with all faults at once. HTTP and command line both say it so.

PROBLEMS are the kinds of answer, FAULTS the kinds of thing wrong with a document; each has a page at /problems/<code>.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rules.subject.faults import BirdsmouthError, DesignRefused, Fault
from service.deadline import DeadlinePassed
from service.encoding import NotFinite, encode
from service.limits import LIMITS
from service.reading import BodyRefused

MEDIA_TYPE = "application/problem+json"


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of error answer. meaning: what happened; remedy: what the caller can do."""

    code: str
    status: int
    title: str
    meaning: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Problem:
    """One error answer. faults: what is wrong with the document; extra: further members; headers: further HTTP headers."""

    kind: Kind
    detail: str
    title: str | None = None
    faults: Sequence[Fault] = ()
    extra: Mapping[str, object] = field(default_factory=dict)
    headers: Mapping[str, str] = field(default_factory=dict)

    def document(self, instance: str | None = None) -> dict[str, Any]:
        """The problem as a JSON object; at most 100 faults are spelt out, `more` says how many others were counted."""
        told = {"type": f"/problems/{self.kind.code}", "title": self.title or self.kind.title, "status": self.kind.status, "detail": self.detail}
        if instance:
            told["instance"] = instance
        errors = [as_error(fault) for fault in self.faults[: LIMITS.faults]]
        more = max(0, len(self.faults) - LIMITS.faults)
        return {**self.extra, **told, "errors": errors, **({"more": more} if more else {})}

    def content(self, instance: str | None = None) -> bytes:
        """The problem as JSON bytes."""
        return encode(self.document(instance))


@dataclass(eq=False)
class Refusal(BirdsmouthError):
    """A request is answered with this problem."""

    problem: Problem

    def __post_init__(self) -> None:
        super().__init__(f"{self.problem.kind.code}: {self.problem.detail}")


def as_error(fault: Fault) -> dict[str, object]:
    """One fault as a member of `errors`; always the same six members."""
    return {
        "pointer": fault.pointer, "code": fault.code, "detail": fault.detail, "found": fault.found, "allowed": fault.allowed, "hint": fault.hint,
    }  # fmt: skip


def problem_of(error: Exception) -> Problem | None:
    """The problem an exception of this package is to the caller; None for one that is nobody's business outside."""
    match error:
        case Refusal(problem=problem):
            return problem
        case BodyRefused(status=status, faults=faults):
            return Problem(KINDS["body-too-large" if status == 413 else "unreadable-body"], faults[0].detail, faults=faults)
        case DesignRefused(faults=faults, title=title, extra=extra):
            return Problem(KINDS["design-refused"], _counted(faults), title, faults, extra)
        case DeadlinePassed():
            return Problem(KINDS["too-slow"], "The check took longer than one request may take.", headers={"Retry-After": "5"})
        case NotFinite():
            return Problem(KINDS["no-number"], "A calculated value is no finite number, so no part of the report is given.")
    return None


def _counted(faults: Sequence[Fault]) -> str:
    first = f"{faults[0].pointer}: {faults[0].detail}" if faults[0].pointer else faults[0].detail
    return first if len(faults) == 1 else f"{len(faults)} things are wrong with it. The first: {first}"


KINDS: Mapping[str, Kind] = {
    kind.code: kind
    for kind in (
        Kind("unreadable-body", 400, "The body cannot be read", "The body is not one JSON document in UTF-8, or means two things at once.",
             "Mend what each error points at. Programs that write JSON by a library do not get here."),
        Kind("bad-request", 400, "The request cannot be understood", "Something about the request itself is wrong.", "See the detail."),
        Kind("bad-query", 400, "The query cannot be understood", "The address names an option there is not, or gives one a value it cannot take.",
             "Use the options the reference lists."),
        Kind("not-found", 404, "There is nothing here", "No page, pack or rule goes by this address.", "See /v1/packs and the reference."),
        Kind("method-not-allowed", 405, "This address does not take that method", "The address exists, the method does not.",
             "Use one of the methods the Allow header lists."),
        Kind("not-acceptable", 406, "No such format", "The Accept header asks for formats this address cannot give.",
             "Ask for one of those listed as allowed."),
        Kind("body-too-large", 413, "The body is too large", "One request holds one component, within the published limits.",
             "See limits at /version. Send one component a request."),
        Kind("unsupported-media-type", 415, "The body is of another type", "A design comes as application/json, not compressed.",
             "Set Content-Type: application/json and no Content-Encoding."),
        Kind("design-refused", 422, "The design cannot be checked", "The document is JSON, but not a design that can be calculated.",
             "Mend what each error points at; they are all there."),
        Kind("internal", 500, "The service failed", "Something went wrong that is not the caller's fault. Nothing was judged.",
             "Try again; if it stays, report the request id in instance."),
        Kind("no-number", 500, "The calculation gave no number", "A value of the report is not finite. Nothing of it is given, lest it pass.",
             "Look for extreme values in the design; report the request id in instance."),
        Kind("too-busy", 503, "The service is busy", "As many checks wait as may wait.", "Try again after the time in Retry-After."),
        Kind("too-slow", 503, "The check took too long", "The deadline of one request passed. Nothing was judged.",
             "Try again; send fewer load cases or a smaller frame if it stays."),
        Kind("not-ready", 503, "The service is not ready", "A rule pack that has to be there cannot be used.", "See the detail; mend the pack."),
    )
}  # fmt: skip
"""Every kind of error answer, by code."""

FAULTS: Mapping[str, str] = {
    "ambiguous-grade": "A grade's name is known to more than one pack.",
    "bent-piece": "A node is more than 1 mm off the straight line of its piece.",
    "beyond-piece": "A place lies beyond the end of its piece.",
    "beyond-section": "A cut takes as much as the piece is deep, or more.",
    "byte-order-mark": "The body begins with a byte-order mark.",
    "coincident-nodes": "Two nodes are less than 1 mm apart.",
    "contradiction": "Two statements exclude each other.",
    "dangling-id": "A reference names something the document does not hold.",
    "direction-along": "A load per metre of plan acts only down or up, one per metre of height only left or right.",
    "direction-of-moment": "A moment has no direction.",
    "duplicate-id": "An id is given twice.",
    "duplicate-waiver": "Two waivers are for the same finding.",
    "empty-body": "There is no document.",
    "half-character": "A text holds half of a surrogate pair.",
    "held-twice": "Two supports hold one node.",
    "holds-nothing": "A support holds no direction.",
    "names-itself": "Something refers to itself where it must name others.",
    "no-extent": "Something ends where it begins, or before.",
    "no-loads": "A load case has no loads and does not say that there are none.",
    "no-support": "Nothing holds the frame.",
    "node-twice": "A piece runs through one node twice.",
    "not-a-day": "A text is not a calendar day.",
    "not-finite": "A number is NaN, infinite, or too large to calculate with.",
    "not-json": "The body is not JSON.",
    "not-one-of": "A word is not in the list of words a field knows.",
    "not-supported-yet": "A part of the document format that this release does not take.",
    "not-utf-8": "The body is not UTF-8.",
    "out-of-order": "A piece names its nodes in another order than it meets them.",
    "out-of-range": "A number is smaller or larger than it may be.",
    "repeated-name": "A member name stands twice in one JSON object.",
    "required": "Something that has to be stated is missing or null.",
    "too-deep": "Brackets stand inside brackets deeper than 64.",
    "too-large": "The body is larger than it may be.",
    "unclear-form": "Nothing says which of several forms is meant, or more than one does.",
    "unknown-field": "A field there is not.",
    "unused-node": "No piece runs through a node.",
    "wrong-count": "A list has too few or too many items.",
    "wrong-face": "A piece has no such face.",
    "wrong-form": "A text is not of the form a field takes.",
    "wrong-length": "A text is too short or too long.",
    "wrong-type": "A value is of another type than a field takes.",
    "zero-length": "A piece begins and ends at one place.",
}
"""Every kind of fault of a document, by code."""
