"""Everything decided of one design, laid out for whoever tells it: in the order of findings, and kind by kind.

A check decides hundreds of judgements and tells a few, so what goes over all of them leaves the going to the library's own loops.
"""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, chain, pairwise
from operator import attrgetter
from typing import Any

from rules.judge.along import Axis
from rules.judge.deciding import COUNTED, Decided
from rules.judge.framed import Frame
from rules.judge.judgement import Judgement
from rules.judge.options import Options
from rules.library.rule import Kind, Purpose, Rule

KINDS = (Kind.FAIL, Kind.OPEN, Kind.REVIEW, Kind.INFORMATIONAL, Kind.NOT_APPLICABLE, Kind.PASS)
"""The order of findings."""
SHOWN = (Kind.FAIL, Kind.OPEN, Kind.REVIEW, Kind.INFORMATIONAL)
"""What is shown by default; of the rest only the governing pass of every element."""
DECIDED = (Kind.FAIL, Kind.PASS)
SHARED = (Purpose.STRENGTH, Purpose.SERVICEABILITY)
KIND_AT = {kind: place for place, kind in enumerate(KINDS)}
LEVEL_AT = {level: place for place, level in enumerate(("error", "warning", "note", "none"))}
ELEMENT_AT = {kind: place for place, kind in enumerate(("design", "member", "joint", "support", "brace"))}
"""Where findings of each stand among the others."""
JUDGEMENT = attrgetter("judgement")


@dataclass(frozen=True)
class Checked:
    """All that a report is made from."""

    frame: Frame
    axes: Mapping[tuple[str, str], Axis]
    decided: Sequence[Decided]
    as_of: datetime.date
    options: Options

    @cached_property
    def ordered(self) -> Sequence[Decided]:
        """Everything decided, in the order of findings."""
        keys = list(_keys(self.decided))
        return list(map(self.decided.__getitem__, sorted(range(len(keys)), key=keys.__getitem__)))

    @cached_property
    def by_kind(self) -> Mapping[Kind, Sequence[Decided]]:
        """The same of each kind."""
        counts = Counter(map(attrgetter("judgement.kind"), self.decided))
        bounds = pairwise(accumulate([counts[kind] for kind in KINDS], initial=0))
        return {kind: self.ordered[start:end] for kind, (start, end) in zip(KINDS, bounds, strict=True)}

    def of(self, kinds: Iterable[Kind]) -> list[Decided]:
        """What is decided so, one kind after the other."""
        return list(chain.from_iterable(map(self.by_kind.__getitem__, kinds)))

    @cached_property
    def counted(self) -> Sequence[Decided]:
        """What keeps the design from passing, waived or not."""
        return self.of(COUNTED)

    @cached_property
    def unsound(self) -> Sequence[Judgement]:
        """What fails or is open."""
        return list(map(JUDGEMENT, self.of((Kind.FAIL, Kind.OPEN))))

    @cached_property
    def shares(self) -> Sequence[tuple[Decided, float]]:
        """What uses up a share of what timber can carry, and how much of it; a practice's ratio is no such share."""
        return [
            (each, j.utilisation)
            for each in self.of(DECIDED)
            if (j := each.judgement).utilisation is not None and isinstance(j.rule, Rule) and j.rule.purpose in SHARED
        ]

    @cached_property
    def governing(self) -> set[int]:
        """Identities of the governing pass of every element, and of its governing fail."""
        return _governing(self.shares)

    @cached_property
    def shown(self) -> Sequence[Decided]:
        """What becomes a finding."""
        if self.options.include == "all":
            return self.ordered
        governing = self.governing
        return [*self.of(SHOWN), *(each for each in self.by_kind[Kind.PASS] if id(each) in governing)]


def _keys(decided: Sequence[Decided]) -> Iterator[tuple[Any, ...]]:
    """What each is sorted by."""
    told = list(map(JUDGEMENT, decided))
    rules = list(map(attrgetter("rule"), told))
    return zip(
        map(KIND_AT.__getitem__, map(attrgetter("kind"), told)),
        map(LEVEL_AT.__getitem__, map(attrgetter("level"), decided)),
        map(attrgetter("pack"), rules),
        map(attrgetter("slug"), rules),
        map(ELEMENT_AT.__getitem__, map(attrgetter("element_kind"), told)),
        map(attrgetter("element_index"), told),
        map(attrgetter("part"), told),
        strict=True,
    )


def _governing(shares: Iterable[tuple[Decided, float]]) -> set[int]:
    best: dict[tuple[str, str, Kind], tuple[float, Decided]] = {}
    for each, share in shares:
        j = each.judgement
        key = (j.element_kind, j.element_id, j.kind)
        if key not in best or share > best[key][0] * (1.0 + 1e-9):
            best[key] = (share, each)
    return {id(each) for _, each in best.values()}
