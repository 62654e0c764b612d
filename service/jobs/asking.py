"""What a job asks for: designs with what holds for all of them written in, or every fault of the job itself."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from marshmallow import ValidationError

from rules.subject.faults import DesignRefused, Fault, pointer
from service.problems import KINDS, Problem, Refusal, said
from service.schemas.complaints import faults_of
from service.schemas.job import JobSchema

Document = dict[str, Any]
SHARED = ("site", "codes")


def job_of(document: Any) -> Mapping[str, Any]:
    """The job, sound in itself; its designs are not looked into. Raises Refusal (job-refused) with every fault."""
    try:
        JobSchema().load(document)
    except ValidationError as error:
        _refuse(faults_of(error.messages_dict, document))
    job: Mapping[str, Any] = document
    _refuse(_alike(job["designs"]))
    return job


def with_shared(job: Mapping[str, Any], design: Mapping[str, Any]) -> Document:
    """A design with what the job says for all. Raises DesignRefused where the design says otherwise: neither is taken in silence."""
    shared = {part: job[part] for part in SHARED if job.get(part)}
    faults = tuple(fault for part in shared for fault in _otherwise(part, shared[part], design.get(part)))
    if faults:
        raise DesignRefused(faults)
    return {**design, **{part: {**(design.get(part) or {}), **_stated(said)} for part, said in shared.items()}}


def _refuse(faults: Iterable[Fault]) -> None:
    found = tuple(faults)
    if found:
        raise Refusal(Problem(KINDS["job-refused"], said(found), faults=found))


def _alike(designs: Iterable[Mapping[str, Any]]) -> Iterator[Fault]:
    met: dict[str, int] = {}
    for index, design in enumerate(designs):
        name = design.get("reference")
        if isinstance(name, str) and met.setdefault(name, index) != index:
            detail = f"Design {met[name]} of the job has this reference too."
            yield Fault(
                pointer("designs", index, "reference"), "duplicate-id", detail, name, hint="Findings are told apart by it: use each once."
            )


def _otherwise(part: str, said: Mapping[str, Any], own: Any) -> Iterator[Fault]:
    if own is not None and not isinstance(own, Mapping):
        yield Fault(pointer(part), "wrong-type", "Needed here: an object.", None, "an object", "Give an object.")
        return
    for name, value in _stated(said).items():
        if own and own.get(name) is not None and own[name] != value:
            detail = f"The job says {value!r} for all its designs."
            yield Fault(pointer(part, name), "contradiction", detail, own[name], value, "Say it in one place, or alike in both.")


def _stated(said: Mapping[str, Any]) -> Document:
    return {name: value for name, value in said.items() if value is not None}
