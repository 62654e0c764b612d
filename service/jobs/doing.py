"""Doing a job: each design checked as POST /v1/checks would, frames that are alike once, and the whole summed up."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from typing import Any

import msgspec

from rules import __version__
from rules.judge.options import Options
from rules.library.loading import Library
from rules.subject.faults import DesignRefused
from service.deadline import Deadline
from service.encoding import NotFinite, seal
from service.engine import Engine
from service.jobs.asking import job_of, with_shared
from service.jobs.summing import Done, summed
from service.limits import LIMITS
from service.pipeline import AS_A_RULE, Known, check_document
from service.problems import problem_of
from service.reading import BodyRefused, read
from service.schemas.canonical import sha256

Document = dict[str, Any]
Turn = Callable[[Deadline], AbstractContextManager[None]]
ONCE = "A design that does not say how many there are of it is counted once."
APART = "Each design was checked by itself. Whether the walls, beams and diagonals that carry several of them carry all of them together was not checked."
ENDING: Mapping[str | None, tuple[str, ...]] = {None: (), "refused": ("refused",), "fail": ("refused", "fail")}
"""What a design may come to that ends the job, by what the job asks for."""
UNDONE = "Not every design was checked, so nothing can be said of the whole."


@dataclass(frozen=True, slots=True)
class Means:
    """What designs are checked with. turn: held for the time of one check; seconds: the most that one may take."""

    library: Library
    today: datetime.date
    options: Options
    largest: int
    engine: Engine | None
    turn: Turn
    seconds: float


def do_job(
    body: bytes, library: Library, *, today: datetime.date, options: Options = AS_A_RULE, largest: int = LIMITS.body_bytes,
    seconds: float = float("inf"), engine: Engine | None = None, turn: Turn = lambda _deadline: nullcontext(),
) -> bytes:  # fmt: skip
    """Check every design of a job; the answer as JSON.

    largest: of one design. Raises BodyRefused, Refusal (job-refused) with every fault of the job itself, DeadlinePassed when a design
    takes longer than it may. What is wrong with a single design is told beside it.
    """
    job = job_of(read(body, largest=LIMITS.job_bytes, values=LIMITS.job_values))
    done = _each(job, Means(library, today, options, largest, engine, turn, seconds))
    return seal(_answer(job, done, body, options))


def _each(job: Mapping[str, Any], means: Means) -> list[Done]:
    known = Known()
    done: list[Done] = []
    stops = ENDING[job.get("stop_on")]
    for index, design in enumerate(job["designs"]):
        if done and done[-1].word in (*stops, "not reached"):
            done.append(Done(index, design, None, None, None))
            continue
        done.append(_one(index, job, design, means, known))
    return done


def _one(index: int, job: Mapping[str, Any], design: Mapping[str, Any], means: Means, known: Known) -> Done:
    deadline = Deadline.after(means.seconds)
    try:
        whole = msgspec.json.encode(with_shared(job, design))  # every digit of it: its check by itself has the same digest
        with means.turn(deadline):
            report = check_document(
                whole, means.library, today=means.today, options=means.options, largest=means.largest, deadline=deadline, engine=means.engine,
                known=known,
            )  # fmt: skip
    except (DesignRefused, BodyRefused, NotFinite) as error:
        problem = problem_of(error)
        assert problem is not None
        return Done(index, design, problem.kind.status, None, problem.document())
    return Done(index, design, 200, report, None)


def _answer(job: Mapping[str, Any], done: Sequence[Done], body: bytes, options: Options) -> Document:
    whole = summed(done)
    return {
        "format": "birdsmouth-job-report-1",
        "reference": job["reference"],
        "title": job.get("title"),
        **whole,
        "designs": [_row(each, job.get("reports") or "all") for each in done],
        "cautions": [*([UNDONE] if any(each.word in ("refused", "not reached") for each in done) else []), APART, ONCE],
        "receipt": {"request": sha256(body), "engine": __version__, "options": options.as_document()},
    }


def _row(each: Done, wanted: str) -> Document:
    told = each.told
    given = each.report is not None and (wanted == "all" or (wanted == "not-passing" and each.word != "pass"))
    return {
        "index": each.index,
        "reference": each.reference,
        "title": told.title if told else None,
        "count": each.count,
        "status": each.status,
        "verdict": told.verdict if told else None,
        "summary": told.summary if told else None,
        "report": msgspec.Raw(each.report) if given and each.report else None,
        "problem": each.problem,
    }
