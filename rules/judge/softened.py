"""Numbers that the design puts in place of a code's: anybody may state a reason, an engineer has to accept it.

Partial factors and deflection limits say by themselves which way is the bolder; of any other number only who knows its formula can tell, so
every other number is asked about. Words are choices that the code leaves, and numbers of practice are the workshop's own.
"""

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
NUMBERS = EngineRule(
    "numbers-of-the-code",
    "Numbers of the code are the code's",
    "A number typed over the code's changes what passes, and the reason beside it is read by nobody.",
)
FACTOR, LIMIT = "gamma", "limit_w"
"""How names of partial factors and of deflection limits begin; a limit is a share of the span, given by what the span is divided by."""
HOLDS = "_inf"
"""The end of the name of a factor on what is favourable: there the greater is the bolder."""
BINDING = ("code", "national")
"""Layers whose numbers are not the caller's to choose."""


def softened(frame: Frame) -> Iterator[Judgement]:
    """Every number of a code that the design replaces, but for those that only ask for more."""
    design, layers = frame.settled.design, {chosen.pack.id: chosen.pack.layer for chosen in frame.selection.packs}
    for name, value in frame.selection.values.items():
        if value.pack == CALLER and value.beneath and layers.get(value.beneath.pack) in BINDING and _bolder(name, value, value.beneath):
            rule = FACTORS if name.startswith(FACTOR) else NUMBERS
            before = "the code's" if value.beneath.table else f"{value.beneath.number:g}"
            message = f"The design takes {value.symbol} = {value.number:g} in place of {before} ({value.what}). An engineer must accept it."
            at = pointer("codes", "parameters", name)
            yield Judgement(rule, "design", design.reference, 0, Kind.REVIEW, name, message=message, pointer=at)


def _bolder(name: str, value: Value, before: Value) -> bool:
    """Whether less may be asked with it somewhere; a word is a choice."""
    new, old = value.number, _numbers(before)
    if not isinstance(new, (int, float)) or not old:
        return False
    if not name.startswith((FACTOR, LIMIT)):
        return any(each != new for each in old)
    return new > min(old) if name.endswith(HOLDS) else new < max(old)


def _numbers(value: Value) -> list[float]:
    """All that a value may give, words apart."""
    given = [result for _, result in value.table.rows] if value.table else [value.number]
    return [float(each) for each in given if isinstance(each, (int, float))]
