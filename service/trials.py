"""A declared pack that was handed over: linted, its examples worked, designs judged by it. Nothing of it is kept."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from marshmallow import ValidationError

from rules.judge.options import Options
from rules.library.choosing import choose
from rules.library.linting import lint
from rules.library.loading import Library, with_pack
from rules.library.reading import PackSource, Reading
from rules.library.trying import TriedRule, try_rule
from rules.subject.design import Design
from rules.subject.faults import BirdsmouthError, Fault
from service.deadline import Deadline, DeadlinePassed
from service.engine import Engine
from service.limits import LIMITS
from service.problems import KINDS, Problem, Refusal, problem_of, said
from service.reading import read
from service.schemas import to_design
from service.schemas.complaints import faults_of
from service.schemas.trial import TrialSchema

Document = dict[str, Any]
EVERYTHING = Options(include="all", working="none", response="none")


def try_pack(body: bytes, library: Library, *, today: datetime.date, largest: int, deadline: Deadline, engine: Engine) -> Document:
    """The answer to one trial. Raises BodyRefused, Refusal (trial-refused) with every fault, DeadlinePassed.

    The pack stands in place of any of its id for this request. Work is bounded by LIMITS.trial_*.
    """
    asked = _asked(read(body, largest=largest))
    others = [Reading(pack) for pack in library.packs]
    found = lint(PackSource(Path("trial"), None, "mounted", asked.get("files") or {}), others)
    deadline.left()
    reading = found.reading if not found.faults else None
    told: Document = {"format": "birdsmouth-trial-1", "pack": found.reading.pack.pin if found.reading else None, **found.plain()}
    if reading is None:
        return {**told, "rules": [], "designs": []}
    tried = [each.plain() for each in _tried(reading, deadline)]
    beside = with_pack(library, reading)
    judged = [_judged(each, beside, reading, today, deadline, engine) for each in asked.get("designs") or ()]
    return {**told, "rules": tried, "designs": judged}


def _asked(document: Any) -> Mapping[str, Any]:
    try:
        asked: Mapping[str, Any] = TrialSchema().load(document)
    except ValidationError as error:
        faults = faults_of(error.messages_dict, document)
        raise Refusal(Problem(KINDS["trial-refused"], said(faults), faults=faults)) from None
    size = sum(len(text) for text in (asked.get("files") or {}).values())
    if not asked.get("files") or size > LIMITS.trial_characters:
        detail = f"The files have {size} characters." if size else "There are no files."
        allowed = f"1 to {LIMITS.trial_characters} characters together"
        fault = Fault("/files", "wrong-length", detail, size, allowed, "Send the files of one pack.")
        raise Refusal(Problem(KINDS["trial-refused"], detail, faults=(fault,)))
    return asked


def _tried(reading: Reading, deadline: Deadline) -> Iterator[TriedRule]:
    left = LIMITS.trial_mutants
    for rule in reading.pack.declared:
        deadline.left()
        tried = try_rule(rule, left)
        left -= tried.mutants
        yield tried


def _judged(
    document: Mapping[str, Any], library: Library, reading: Reading, today: datetime.date, deadline: Deadline, engine: Engine,
) -> Document:  # fmt: skip
    deadline.left()
    chosen = False
    try:
        design = to_design(document)
        as_of = design.codes.as_of or today
        asked = _in_force(design, library, as_of)
        chosen = reading.pack.id in asked
        with_it = replace(design, codes=replace(design.codes, packs=tuple(dict.fromkeys([*asked, reading.pack.id]))))
        report = engine.check(with_it if not chosen else design, library, as_of=as_of, options=EVERYTHING, between=deadline.left)
    except DeadlinePassed:
        raise
    except BirdsmouthError as error:
        problem = problem_of(error)
        if problem is None:
            raise
        return {"status": problem.kind.status, "chosen": chosen, "findings": [], "problem": problem.document()}
    own: Sequence[Any] = [each for each in report["findings"] if each["rule"].startswith(f"{reading.pack.id}/")]
    return {"status": 200, "reference": design.reference, "chosen": chosen, "findings": own}


def _in_force(design: Design, library: Library, as_of: datetime.date) -> list[str]:
    """Ids of the packs the design would be judged by."""
    codes = design.codes
    selection = choose(library, design.site, design.component_type, as_of, codes.packs, codes.parameters)
    return [each.pack.id for each in selection.packs]
