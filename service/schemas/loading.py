"""From bytes, or from JSON values, to a Design; or to every fault there is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from itertools import islice
from typing import Any

from marshmallow import ValidationError

from rules.shapes import expand, shape_faults, told_of_the_shape
from rules.subject.consistency import inconsistencies
from rules.subject.design import Design
from rules.subject.faults import DesignRefused, Fault, pointer, refuse
from service.limits import LIMITS
from service.reading import Json, read
from service.schemas.building import build
from service.schemas.canonical import digests, stated
from service.schemas.complaints import faults_of
from service.schemas.design import DesignSchema
from service.schemas.gate import passed
from service.schemas.partial import remainder

Designs = dict[tuple[str, str], Design]
"""Sound designs that were read before, by subject and rules asked for: the caller's, to be handed in again."""
KEPT = 32
"""How many of these are kept."""


def load(body: bytes, *, largest: int = LIMITS.body_bytes, before: Designs | None = None) -> Design:
    """Read one design document.

    before: of designs that differ in reference and title alone, only the first is built and held against itself; the design is the same.

    Raises BodyRefused when the bytes are no readable JSON, DesignRefused with every fault when they are no checkable design.
    """
    values = passed(body) if len(body) <= largest else None
    if values is None:
        return to_design(read(body, largest=largest))
    return _sound(values) if before is None or "waivers" in values or "baseline" in values else _called(values, before)


def _called(values: Mapping[str, Any], before: Designs) -> Design:
    """The sound design under its own name. Raises DesignRefused as _sound does."""
    whole, subject = digests(values)
    key = subject, repr(values.get("codes"))
    if key not in before:
        before[key] = _sound(values)
        if len(before) > KEPT:
            del before[next(iter(before))]
    return replace(before[key], reference=values["reference"], title=values.get("title"), digest=whole)


def to_design(document: Json) -> Design:
    """Check JSON values against the schema and against each other, and build the design, its shape drawn. Raises DesignRefused."""
    return accepted(document)[1]


def accepted(document: Json) -> tuple[Mapping[str, Any], Design]:
    """The accepted values of a document beside the design they describe, its shape drawn. Raises DesignRefused."""
    values = validate(document)
    return values, _sound(values)


def _sound(values: Mapping[str, Any]) -> Design:
    """The design that accepted values describe, its shape drawn. Raises DesignRefused for what does not hold between them."""
    refuse(_unframed(values))
    design = build(values)
    refuse(islice(_between_fields(design), LIMITS.faults_counted))
    return expand(design)


def _between_fields(design: Design) -> Iterator[Fault]:
    """Every fault between the fields of a design: of its shape first, and of the frame that is drawn from it if it can be."""
    wrong = list(shape_faults(design))
    yield from wrong
    if not wrong:
        drawn = expand(design)
        yield from (told_of_the_shape(fault, drawn) for fault in inconsistencies(drawn))


def validate(document: Json) -> Mapping[str, Any]:
    """The accepted values of a design document: what is stated, with floats for numbers.

    Raises DesignRefused: with every fault of a field in document order, then every fault between the sound parts.
    """
    try:
        return _accepted(document)
    except ValidationError as error:
        own = (*faults_of(error.messages_dict, document), *_unframed(document))
        raise DesignRefused((*own, *_between_sound_parts(document, own))) from None


def _unframed(document: Json) -> Iterator[Fault]:
    """The parts of the frame that are missing, where no shape is given in their place."""
    if not isinstance(document, Mapping) or document.get("shape") is not None:
        return
    for part in ("nodes", "members", "supports"):
        if document.get(part) is None:
            wants = str(getattr(_schema().fields[part], "wants", "a list"))
            hint = f"Give {wants}, or a shape in place of nodes, members and supports."
            yield Fault(pointer(part), "required", "This has to be stated; it is missing or null.", None, wants, hint)


def _accepted(document: Any) -> Mapping[str, Any]:
    accepted: Mapping[str, Any] = stated(_schema().load(document))
    return accepted


def _between_sound_parts(document: Json, own: tuple[Fault, ...]) -> tuple[Fault, ...]:
    """The faults between those parts of a refused document that have none of their own."""
    left = remainder(document, own)
    try:
        found = left.told_of_the_whole(_between_fields(build(_accepted(left.document)))) if left else ()
    except ValidationError:
        return ()
    return tuple(islice(found, LIMITS.faults_counted - len(own)))


@cache
def _schema() -> DesignSchema:
    return DesignSchema()
