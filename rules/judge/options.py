"""What of a report the caller wants to see. None of it changes a judgement."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Literal

Include = Literal["governing", "all"]
Working = Literal["governing", "all", "none"]
ResponsePart = Literal["actions", "combinations", "none"]
Units = Literal["si", "us"]


@dataclass(frozen=True, slots=True)
class Options:
    """include: findings other than pass and notApplicable plus each element's governing pass, or all of them;
    working: for the governing finding of each element, for every finding, or for none; response: how much of the analysis; units: of
    words that people read, never of numbers."""

    include: Include = "governing"
    working: Working = "governing"
    response: ResponsePart = "actions"
    units: Units = "si"

    def as_document(self) -> dict[str, str]:
        """For the receipt. Units are named where they are not those of the report's numbers."""
        return {name: word for name, word in asdict(self).items() if name != "units" or word != "si"}
