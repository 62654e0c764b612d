"""What can keep a command from doing its work, in words for the person who typed it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator

from rules.subject.faults import Fault


class Trouble(Exception):
    """The input or the surroundings are at fault; the message says what and what to do. Ends the run with status 2."""


class Refused(Exception):
    """A design document cannot be checked: what is wrong with it, one line a fault."""

    def __init__(self, faults: Iterable[Fault], more: int = 0) -> None:
        self.faults, self.more = tuple(faults), more
        super().__init__(f"{len(self.faults) + more} fault(s)")

    def lines(self, file: str) -> Iterator[str]:
        """Readable lines: "t04.json: /members/3/grade: no grade of that name (found "C99"; allowed "C16", "C24"). Choose one of them."."""
        for fault in self.faults:
            yield f"{file}: {fault.pointer or '/'}: {_sentence(fault)}"
        if self.more:
            yield f"{file}: and {self.more} more"


def _sentence(fault: Fault) -> str:
    met = (("found", fault.found), ("allowed", fault.allowed))
    shown = "; ".join(f"{name} {_value(value)}" for name, value in met if value is not None)
    return " ".join(part for part in (fault.detail.rstrip(), f"({shown})" if shown else "", fault.hint) if part)


def _value(value: object) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, list | tuple):
        return ", ".join(_value(item) for item in value)
    return json.dumps(value, ensure_ascii=False, default=str)
