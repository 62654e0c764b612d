"""What can be wrong with a design document, as data: the edge turns these into problem details, the command line into lines of text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a document.

    pointer: RFC 6901 JSON pointer into the design document; "" is the whole of it.
    code: stable slug of the kind of fault ("dangling-id", "unknown-grade", ...).
    detail: one sentence saying what is wrong; found, allowed: the value met and what would be right, as JSON values;
    hint: what to do about it.
    """

    pointer: str
    code: str
    detail: str
    found: object = None
    allowed: object = None
    hint: str = ""


class BirdsmouthError(Exception):
    """Root of every error this package raises on purpose."""


@dataclass(eq=False)
class DesignRefused(BirdsmouthError):
    """The document is JSON but cannot be checked; carries every fault found, in document order."""

    faults: tuple[Fault, ...]
    title: str = "The design cannot be checked"
    extra: Mapping[str, object] = field(default_factory=dict)

    def __post_init__(self) -> None:
        super().__init__(f"{self.title}: {len(self.faults)} fault(s), first at {self.faults[0].pointer or '/'}: {self.faults[0].detail}")


class TooManyCombinations(BirdsmouthError):
    """The actions can act together in more ways than the published bounds; the message says how many, in words."""


def refuse(faults: Iterable[Fault]) -> None:
    """Raise DesignRefused when there is at least one fault; otherwise return."""
    found = tuple(faults)
    if found:
        raise DesignRefused(found)


def pointer(*steps: str | int) -> str:
    """Build an RFC 6901 pointer: pointer("members", 3, "grade") == "/members/3/grade"."""
    return "".join([f"/{step}" if type(step) is int else "/" + str(step).replace("~", "~0").replace("/", "~1") for step in steps])
