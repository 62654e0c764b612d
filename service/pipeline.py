"""One design's way through: bytes in, bytes out. HTTP and the command line both take it, so their answers are the same bytes."""

from __future__ import annotations

import datetime
from functools import partial
from typing import Any

from rules.judge.options import Options
from rules.library.loading import Library
from service.deadline import Deadline
from service.encoding import seal
from service.engine import Engine, Judging, shipped
from service.limits import LIMITS
from service.places import located
from service.reading import read
from service.schemas import load
from service.schemas.loading import Designs, accepted
from service.schemas.writing import as_written, written_out
from service.units import worded


class Known(dict[Any, Any]):
    """What came before in a job or a batch: frames judged, and designs read, for those that differ from them in names alone."""

    def __init__(self) -> None:
        super().__init__()
        self.designs: Designs = {}


AS_A_RULE = Options()
NO_DEADLINE = Deadline()


def check_document(
    body: bytes, library: Library, *, today: datetime.date, options: Options = AS_A_RULE, largest: int = LIMITS.body_bytes,
    deadline: Deadline = NO_DEADLINE, engine: Engine | None = None, known: dict[Any, Any] | None = None,
) -> bytes:  # fmt: skip
    """Check a design document against a library's rules; the report as JSON.

    known: handed in again with the next design of a batch, lets frames that differ only in what they are called be judged once; one
    of the type Known lets them be read once too.

    today: the day whose rules hold when the document names none. Raises BodyRefused, DesignRefused, DeadlinePassed, and NotFinite
    when a number of the report cannot be written down.
    """
    checking, before = (engine or shipped()).check, known.designs if isinstance(known, Known) else None
    judging = checking if known is None else partial(checking, known=known)
    return _through(judging, body, library, today, options, largest, deadline, before)


def analyse_document(
    body: bytes, library: Library, *, today: datetime.date, options: Options = AS_A_RULE, largest: int = LIMITS.body_bytes,
    deadline: Deadline = NO_DEADLINE, engine: Engine | None = None,
) -> bytes:  # fmt: skip
    """Forces, reactions and deflections of a design document, without judgement, as JSON. Raises as check_document does."""
    return _through((engine or shipped()).analyse, body, library, today, options, largest, deadline)


def expand_document(
    body: bytes, library: Library, *, today: datetime.date, largest: int = LIMITS.body_bytes, deadline: Deadline = NO_DEADLINE,
    engine: Engine | None = None,
) -> bytes:  # fmt: skip
    """The design document with its shape drawn and its load cases derived, as JSON. Raises as check_document does.

    Its numbers are given as they are calculated with, so that the check of the expansion is the check of the original.
    """
    values, design = accepted(read(body, largest=largest))
    deadline.left()
    whole = (engine or shipped()).expand(located(design), library, as_of=design.codes.as_of or today)
    deadline.left()
    return as_written(written_out(values, whole))


def _through(
    judging: Judging, body: bytes, library: Library, today: datetime.date, options: Options, largest: int, deadline: Deadline,
    before: Designs | None = None,
) -> bytes:  # fmt: skip
    design = located(load(body, largest=largest, before=before))
    deadline.left()
    document = judging(design, library, as_of=design.codes.as_of or today, options=options, between=deadline.left)
    deadline.left()
    return seal(worded(document, options.units))
