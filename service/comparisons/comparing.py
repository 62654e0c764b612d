"""Each side checked by itself, as POST /v1/checks would; then their findings side by side."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from rules import __version__
from rules.judge.options import Options
from rules.library.loading import Library
from rules.library.rule import Purpose
from rules.subject.faults import DesignRefused
from service.comparisons.aligning import governing, rows, telling
from service.comparisons.sides import Side, refuse_comparison, sides_of
from service.deadline import Deadline
from service.encoding import seal
from service.engine import Engine, shipped
from service.limits import LIMITS
from service.pipeline import AS_A_RULE, NO_DEADLINE
from service.reading import read
from service.schemas.canonical import sha256
from service.units import worded

Document = dict[str, Any]
OWN_LOADS = (
    "The same loads were put on every side. Snow, wind and live loads of one code are not those of another, in size or in meaning: take them "
    "from each code before you conclude anything from a comparison between them."
)
OWN_GRADES = "Grades were named anew for a side as the request says. No grade of one tradition is equal to one of another; the choice is the caller's."


def compare_document(
    body: bytes, library: Library, *, today: datetime.date, options: Options = AS_A_RULE, largest: int = LIMITS.body_bytes,
    deadline: Deadline = NO_DEADLINE, engine: Engine | None = None,
) -> bytes:  # fmt: skip
    """Compare the sides of a request; the answer as JSON.

    options.include "all" gives every row, else those that tell something. today: the day whose rules hold where a side names none.
    Raises BodyRefused, Refusal (comparison-refused) with every fault of every side, DeadlinePassed, NotFinite.
    """
    sides = sides_of(read(body, largest=largest))
    reports = _reports(sides, library, today, options, deadline, engine or shipped())
    measured = {rule.id for pack in library.packs for rule in pack.rules if rule.purpose in (Purpose.STRENGTH, Purpose.SERVICEABILITY)}
    elements = governing(reports, measured)
    most = {cell["finding"] for each in elements for cell in each["cells"] if cell}
    every = rows(reports)
    shown = every if options.include == "all" else [row for row in every if telling(row, most)]
    return seal(
        {
            "format": "birdsmouth-comparison-1",
            "sides": [_side(side, report, library) for side, report in zip(sides, reports, strict=True)],
            "elements": elements,
            "rows": shown,
            "left_out": len(every) - len(shown),
            "cautions": list(_cautions(sides, reports, library)),
            "receipt": {"request": sha256(body), "engine": __version__, "options": _asked(options)},
        }
    )


def _asked(options: Options) -> Document:
    """The options that a comparison knows."""
    return {name: word for name, word in options.as_document().items() if name in ("include", "units")}


def _reports(
    sides: Sequence[Side], library: Library, today: datetime.date, options: Options, deadline: Deadline, engine: Engine,
) -> list[Mapping[str, Any]]:  # fmt: skip
    wanted = replace(options, include="all", working="none", response="none")
    found: list[Mapping[str, Any]] = []
    faults = []
    for side in sides:
        deadline.left()
        try:
            report = engine.check(side.design, library, as_of=side.design.codes.as_of or today, options=wanted, between=deadline.left)
            found.append(worded(report, options.units))
        except DesignRefused as refused:
            faults += [side.told(fault) for fault in refused.faults]
    refuse_comparison(faults)
    return found


def _side(side: Side, report: Mapping[str, Any], library: Library) -> Document:
    return {
        "name": side.name,
        "reference": report["reference"],
        "title": report["title"],
        "tradition": _tradition(report, library),
        "grades": dict(side.grades),
        **{name: report[name] for name in ("verdict", "summary", "packs", "not_checked")},
        "receipt": {name: report["receipt"][name] for name in ("design", "subject", "packs", "as_of")},
    }


def _tradition(report: Mapping[str, Any], library: Library) -> str | None:
    """The code tradition a report was made by; None where no code of practice was in force."""
    packs = [library.pack(each["id"]) for each in report["packs"]]
    return next((pack.tradition for pack in packs if pack.layer == "code" and pack.tradition), None)


def _cautions(sides: Sequence[Side], reports: Sequence[Mapping[str, Any]], library: Library) -> list[str]:
    several = len({_tradition(report, library) for report in reports}) > 1
    said = [*([OWN_LOADS] if several else []), *([OWN_GRADES] if any(side.grades for side in sides) else [])]
    return list(dict.fromkeys([*said, *(each for report in reports for each in report["cautions"])]))
