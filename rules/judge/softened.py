"""Partial factors that the design puts below the code's: anybody may state a reason, an engineer has to accept it."""

from __future__ import annotations

from collections.abc import Iterator

from rules.judge.framed import Frame
from rules.judge.judgement import EngineRule, Judgement
from rules.library.layering import CALLER
from rules.library.rule import Kind
from rules.library.value import Value
from rules.subject.faults import pointer

FACTORS = EngineRule(
    "partial-factors",
    "Partial factors are those of the code",
    "All safety of a limit state is in them: lowered, everything passes that ought not to.",
)
HOLDS = "_inf"
"""The end of the name of a factor on what is favourable: there the greater is the bolder."""


def softened(frame: Frame) -> Iterator[Judgement]:
    """Every partial factor that the design replaces by a bolder one."""
    design = frame.settled.design
    for name, value in frame.selection.values.items():
        if value.beneath is not None and value.pack == CALLER and name.startswith("gamma") and _bolder(name, value, value.beneath):
            before = f"{value.beneath.number:g}" if _plain(value.beneath) is not None else "the code's"
            message = f"The design takes {value.symbol} = {value.number:g} in place of {before} ({value.what}). An engineer must accept it."
            at = pointer("codes", "parameters", name)
            yield Judgement(FACTORS, "design", design.reference, 0, Kind.REVIEW, name, message=message, pointer=at)


def _bolder(name: str, value: Value, before: Value) -> bool:
    """Whether less is asked with it; of a factor that goes by what it stands for nobody can tell."""
    new, old = _plain(value), _plain(before)
    return new is not None and (old is None or (new > old if name.endswith(HOLDS) else new < old))


def _plain(value: Value) -> float | None:
    return float(value.number) if isinstance(value.number, (int, float)) else None
