"""What of a report the caller wants to see. None of it changes a judgement."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Literal

Include = Literal["governing", "all"]
Working = Literal["governing", "all", "none"]
ResponsePart = Literal["actions", "combinations", "none"]


@dataclass(frozen=True, slots=True)
class Options:
    """include: findings other than pass and notApplicable plus each element's governing pass, or all of them;
    working: for the governing finding of each element, for every finding, or for none; response: how much of the analysis."""

    include: Include = "governing"
    working: Working = "governing"
    response: ResponsePart = "actions"

    def as_document(self) -> dict[str, str]:
        """For the receipt."""
        return asdict(self)
