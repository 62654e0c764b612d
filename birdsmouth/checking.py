"""One call for people who script: a design in, the report out, in this process."""

from __future__ import annotations

import datetime
import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import service  # noqa: F401  first: it sets the BLAS threads to one before numpy loads

if TYPE_CHECKING:
    from rules.library import Library


def check(design: bytes | str | Mapping[str, Any], *, library: Library | None = None, today: datetime.date | None = None) -> dict[str, Any]:
    """Check one design document and return its report document (format "birdsmouth-report-1").

    design: the document as JSON bytes or text, or as the values of one. library: the rule packs, read once with
    `birdsmouth.load_library()` when many designs are checked; None reads them now. today: the day the rules are taken at when
    the design names none; None is today, UTC.
    Raises BodyRefused when the bytes are no readable JSON and DesignRefused, with every fault, when they are no checkable design.
    """
    from rules.judge import Options
    from rules.library import load_library
    from service.pipeline import check_document

    body = design if isinstance(design, bytes) else (design if isinstance(design, str) else json.dumps(design)).encode()
    day = today or datetime.datetime.now(datetime.UTC).date()
    report: dict[str, Any] = json.loads(check_document(body, library or load_library(), today=day, options=Options()))
    return report
