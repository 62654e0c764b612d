"""What the edge asks of the rules: six functions, named in one place, so that a test can put others there."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from rules.judge.between import Between, nothing
from rules.judge.options import Options
from rules.library.loading import Library
from rules.subject.design import Design

Document = Mapping[str, Any]


class Judging(Protocol):
    """A design in, a document out; raises rules.subject.faults.DesignRefused, and what `between`, called between steps, raises."""

    def __call__(self, design: Design, library: Library, *, as_of: datetime.date, options: Options, between: Between = nothing) -> Document:
        """The document, numbers unrounded."""


class Checking(Judging, Protocol):
    """As above; known, handed in again with the next design, lets frames that are alike be judged once."""

    def __call__(
        self, design: Design, library: Library, *, as_of: datetime.date, options: Options, known: dict[Any, Any] | None = None,
        between: Between = nothing,
    ) -> Document:  # fmt: skip
        """The document, numbers unrounded."""


class Expanding(Protocol):
    """A design in, the same with its frame drawn and its load cases derived; raises rules.subject.faults.DesignRefused."""

    def __call__(self, design: Design, library: Library, *, as_of: datetime.date) -> Design:
        """The design, written out."""


@dataclass(frozen=True, slots=True)
class Engine:
    """check: the report; analyse: forces without judgement; expand: the design written out; the others: pages of the catalogue,
    KeyError when unknown."""

    check: Checking
    analyse: Judging
    expand: Expanding
    pack_list: Callable[[Library], Sequence[Document]]
    pack_page: Callable[[Library, str], Document]
    rule_page: Callable[[Library, str, str], Document]


def shipped() -> Engine:
    """The engine of this package. Imported when asked for, so that documents can be read without loading numpy."""
    from rules import judge
    from rules.library import catalogue

    return Engine(judge.check, judge.analyse, judge.written_out, catalogue.pack_list, catalogue.pack_page, catalogue.rule_page)
