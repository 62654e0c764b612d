"""What the edge asks of the rules: five functions, named in one place, so that a test can put others there."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from rules.judge.options import Options
from rules.library.loading import Library
from rules.subject.design import Design

Document = Mapping[str, Any]


class Judging(Protocol):
    """A design in, a document out; raises rules.subject.faults.DesignRefused."""

    def __call__(self, design: Design, library: Library, *, as_of: datetime.date, options: Options) -> Document:
        """The document, numbers unrounded."""


@dataclass(frozen=True, slots=True)
class Engine:
    """check: the report; analyse: forces without judgement; the others: pages of the catalogue, KeyError when unknown."""

    check: Judging
    analyse: Judging
    pack_list: Callable[[Library], Sequence[Document]]
    pack_page: Callable[[Library, str], Document]
    rule_page: Callable[[Library, str, str], Document]


def shipped() -> Engine:
    """The engine of this package. Imported when asked for, so that documents can be read without loading numpy."""
    from rules import judge
    from rules.library import catalogue

    return Engine(judge.check, judge.analyse, catalogue.pack_list, catalogue.pack_page, catalogue.rule_page)
