"""A sizing: each choice checked as POST /v1/checks would, until the cheapest that passes is found or the checks are used up."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field, replace
from typing import Any

import msgspec

from rules import __version__
from rules.judge.materials import find_materials
from rules.judge.options import Options
from rules.library.choosing import Selection, choose
from rules.library.loading import Library
from rules.subject.design import Design
from rules.subject.faults import DesignRefused, Fault, pointer
from service.deadline import Deadline
from service.encoding import encode, seal
from service.engine import Engine
from service.limits import LIMITS
from service.pipeline import AS_A_RULE, NO_DEADLINE, check_document
from service.places import located
from service.reading import read
from service.schemas.canonical import sha256
from service.sizings.asking import Asked, asked_of, refuse_sizing
from service.sizings.choices import Choice, Document
from service.sizings.searching import Search, Tried, in_order, nearest
from service.sizings.told import read_report, refused, tried

Turn = Callable[[], AbstractContextManager[None]]

AS_DRAWN = (
    "Only sections, grades, plies and spacing were varied. Where the document draws its frame by nodes, their places stayed as they are: with deeper pieces "
    "the lines of the frame may have to move. Plates, hangers, bearings and bracing stayed as stated; nothing was chosen for them."
)
COSTS = "Costs count the pieces between end nodes, without waste, cutting, plates or labour unless the request gave a price for them."
ALLOWED = "The request takes a design whose verdict is {} as good enough. Such a design is not shown to hold."
NOT_PROVEN = "Not every cheaper choice was checked, so this may not be the cheapest."


def size_document(
    body: bytes, library: Library, *, today: datetime.date, options: Options = AS_A_RULE, largest: int = LIMITS.body_bytes,
    deadline: Deadline = NO_DEADLINE, engine: Engine | None = None, turn: Turn = nullcontext,
) -> bytes:  # fmt: skip
    """Choose timber for a design; the answer as JSON.

    options: of the report of the choice that is taken. turn: held for the time of one check, so that others come in between.
    Raises BodyRefused, Refusal (sizing-refused) with every fault, DeadlinePassed, NotFinite.
    """
    asked = asked_of(read(body, largest=largest))
    refuse_sizing(_unsuitable(asked, library, today))
    checking = _Checking(asked, library, today, options, largest, deadline, engine, turn)
    search = Search(asked.choices, checking.check, asked.most_checks)
    search.run()
    return seal(_answer(asked, search, checking, body))


@dataclass(slots=True)
class _Checking:
    """How choices are checked. reports: of the best and of the nearest miss so far, by choice; known: frames judged before."""

    asked: Asked
    library: Library
    today: datetime.date
    options: Options
    largest: int
    deadline: Deadline
    engine: Engine | None
    turn: Turn
    known: dict[Any, Any] = field(default_factory=dict)
    nearest: Tried | None = None
    best: Tried | None = None
    reports: dict[Any, bytes] = field(default_factory=dict)

    def check(self, choice: Choice) -> Tried:
        """What becomes of a choice."""
        design = encode(self.asked.choices.written(choice, self.asked.document))
        self.deadline.left()
        try:
            with self.turn():
                report = check_document(
                    design, self.library, today=self.today, options=self.options, largest=self.largest, deadline=self.deadline,
                    engine=self.engine, known=self.known,
                )  # fmt: skip
        except DesignRefused as fault:
            return refused(choice, f"{fault.faults[0].pointer}: {fault.faults[0].detail}")
        made = tried(choice, read_report(report), self.asked.allow)
        self._keep(made, report)
        return made

    def _keep(self, made: Tried, report: bytes) -> None:
        if made.passes and (self.best is None or made.choice.cost < self.best.choice.cost):
            self.best = made
        elif not made.passes and (self.nearest is None or nearest((self.nearest, made)) is made):
            self.nearest = made
        else:
            return
        kept = [each.choice.key for each in (self.best, self.nearest) if each]
        self.reports = {key: content for key, content in {**self.reports, made.choice.key: report}.items() if key in kept}


def _unsuitable(asked: Asked, library: Library, today: datetime.date) -> Iterator[Fault]:
    """Faults of packs and grades: of the design's own, and of stock that no pack in force and no material of the design knows."""
    design = asked.design
    try:
        chosen = _chosen(design, library, design.codes.as_of or today)
    except DesignRefused as refused_:
        yield from (replace(fault, pointer="/design" + fault.pointer) for fault in refused_.faults)
        return
    varied = {name for group in asked.choices.groups for name in group.members}
    for fault in find_materials(design, chosen).faults:
        place = fault.pointer.split("/")
        if place[1] != "members" or design.members[int(place[2])].id not in varied:
            yield replace(fault, pointer="/design" + fault.pointer)
    for index, entry in enumerate(asked.stock):
        of_stock = replace(design, members=(replace(design.members[0], grade=entry["grade"]),), supports=(), bracing=None)
        yield from (replace(fault, pointer=pointer("stock", index, "grade")) for fault in find_materials(of_stock, chosen).faults)


def _chosen(design: Design, library: Library, as_of: datetime.date) -> Selection:
    placed, codes = located(design), design.codes
    chosen = choose(library, placed.site, placed.component_type, as_of, codes.packs, codes.parameters)
    return chosen if chosen.materials else replace(chosen, materials=library.materials())


def _answer(asked: Asked, search: Search, checking: _Checking, body: bytes) -> Document:
    best, left = search.best, search.unchecked()
    shown = best or checking.nearest
    outcome = "found" if best else ("nothing-passes" if not left else "not-found")
    return {
        "format": "birdsmouth-sizing-1",
        "reference": asked.document["reference"],
        "title": asked.document.get("title"),
        "outcome": outcome,
        "proven": left == 0,
        "in_words": _in_words(best, left, len(search.tried), len(asked.choices)),
        "cost": {
            "by": "price" if asked.by_price else "volume",
            "unit": ("1" if asked.by_price else "m³") + ("/m" if asked.choices.spacings != (None,) else ""),
            "of": "a metre of building" if asked.choices.spacings != (None,) else "one component",
            "unpriced": list(asked.unpriced),
        },
        "counted": {"choices": len(asked.choices), "checked": len(search.tried), "cheaper_unchecked": left},
        "allow": list(asked.allow),
        "best": _row(asked, best) if best else None,
        "nearest": _row(asked, shown) if shown and not best else None,
        "design": asked.choices.written(best.choice, asked.document) if best else None,
        "report": msgspec.Raw(checking.reports[shown.choice.key]) if shown else None,
        "tried": [_row(asked, each) for each in in_order(search.tried.values())],
        "cautions": list(_cautions(asked, best, left)),
        "receipt": {"request": sha256(body), "engine": __version__, "options": checking.options.as_document()},
    }


def _row(asked: Asked, made: Tried) -> Document:
    choice, choices = made.choice, asked.choices
    groups = [
        {"name": group.name, "stock": make.stock["id"], "b_mm": make.stock["b_mm"], "h_mm": make.stock["h_mm"], "grade": make.stock["grade"], "plies": make.plies}
        for group in choices.groups
        for make in (choices.made(choice, group),)
    ]  # fmt: skip
    return {"cost": choice.cost, "spacing_mm": choice.spacing_mm, "groups": groups, "passes": made.passes, **made.told}


def _in_words(best: Tried | None, left: int, checked: int, choices: int) -> str:
    counted = f"Of {choices} choices {checked} were checked."
    if best is not None:
        word = "passes" if best.told["verdict"] == "pass" else f"is {best.told['verdict']}, which the request takes"
        proof = f"{left} cheaper ones were not checked, so it may not be the cheapest" if left else "no cheaper one is as good"
        return f"{counted} This one {word}; {proof}."
    if not left:
        return f"None of the {choices} choices passes; all were checked. The one shown comes nearest."
    return f"{counted} None of these passes; {left} were not checked. The one shown comes nearest."


def _cautions(asked: Asked, best: Tried | None, left: int) -> Iterator[str]:
    if best and left:
        yield NOT_PROVEN
    if asked.allow:
        yield ALLOWED.format(" or ".join(asked.allow))
    yield AS_DRAWN
    yield COSTS
