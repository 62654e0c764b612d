"""From bytes, or from JSON values, to a Design; or to every fault there is."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import islice
from typing import Any

from marshmallow import ValidationError

from rules.subject.consistency import inconsistencies
from rules.subject.design import Design
from rules.subject.faults import DesignRefused, Fault, refuse
from service.limits import LIMITS
from service.reading import Json, read
from service.schemas.building import build
from service.schemas.canonical import stated
from service.schemas.complaints import faults_of
from service.schemas.design import DesignSchema
from service.schemas.partial import remainder


def load(body: bytes, *, largest: int = LIMITS.body_bytes) -> Design:
    """Read one design document.

    Raises BodyRefused when the bytes are no readable JSON, DesignRefused with every fault when they are no checkable design.
    """
    return to_design(read(body, largest=largest))


def to_design(document: Json) -> Design:
    """Check JSON values against the schema and against each other, and build the design. Raises DesignRefused."""
    design = build(validate(document))
    refuse(islice(inconsistencies(design), LIMITS.faults_counted))
    return design


def validate(document: Json) -> Mapping[str, Any]:
    """The accepted values of a design document: what is stated, with floats for numbers.

    Raises DesignRefused: with every fault of a field in document order, then every fault between the sound parts.
    """
    try:
        return _accepted(document)
    except ValidationError as error:
        own = faults_of(error.messages_dict, document)
        raise DesignRefused((*own, *_between_sound_parts(document, own))) from None


def _accepted(document: Any) -> Mapping[str, Any]:
    accepted: Mapping[str, Any] = stated(_schema().load(document))
    return accepted


def _between_sound_parts(document: Json, own: tuple[Fault, ...]) -> tuple[Fault, ...]:
    """The faults between those parts of a refused document that have none of their own."""
    left = remainder(document, own)
    try:
        found = left.told_of_the_whole(inconsistencies(build(_accepted(left.document)))) if left else ()
    except ValidationError:
        return ()
    return tuple(islice(found, LIMITS.faults_counted - len(own)))


@cache
def _schema() -> DesignSchema:
    return DesignSchema()
