"""Every error that leaves, in one shape: RFC 9457 problem details, with all faults at once. HTTP and command line both say it so.

The kinds of answer, and of faults, are in service.kinds; each has a page at /problems/<code>.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rules.subject.faults import BirdsmouthError, DesignRefused, Fault
from service.deadline import DeadlinePassed
from service.encoding import NotFinite, encode
from service.kinds import KINDS, Kind
from service.limits import LIMITS
from service.reading import BodyRefused

__all__ = ["KINDS", "MEDIA_TYPE", "Kind", "Problem", "Refusal", "as_error", "problem_of", "said"]

MEDIA_TYPE = "application/problem+json"


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
        told = {
            "type": f"/problems/{self.kind.code}",
            "title": self.title or self.kind.title,
            "status": self.kind.status,
            "detail": self.detail,
        }
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
            return Problem(KINDS["design-refused"], said(faults), title, faults, extra)
        case DeadlinePassed():
            return Problem(KINDS["too-slow"], "The check took longer than one request may take.", headers={"Retry-After": "5"})
        case NotFinite():
            return Problem(KINDS["no-number"], "A calculated value is no finite number, so no part of the report is given.")
    return None


def said(faults: Sequence[Fault]) -> str:
    """The detail of a problem with these faults: how many there are, and the first in words."""
    first = f"{faults[0].pointer}: {faults[0].detail}" if faults[0].pointer else faults[0].detail
    return first if len(faults) == 1 else f"{len(faults)} things are wrong with it. The first: {first}"
