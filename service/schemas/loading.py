"""From bytes, or from JSON values, to a Design; or to every fault there is."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import islice
from typing import Any

from marshmallow import ValidationError

from rules.subject.consistency import inconsistencies
from rules.subject.design import Design
from rules.subject.faults import DesignRefused, refuse
from service.limits import LIMITS
from service.reading import Json, read
from service.schemas.building import build
from service.schemas.canonical import stated
from service.schemas.complaints import faults_of
from service.schemas.design import DesignSchema


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
    """The accepted values of a design document: what is stated, with floats for numbers. Raises DesignRefused with every fault."""
    try:
        accepted: Mapping[str, Any] = stated(_schema().load(document))  # type: ignore[arg-type]  # the schema itself refuses what is no object
    except ValidationError as error:
        raise DesignRefused(faults_of(error.messages_dict, document)) from None
    return accepted


@cache
def _schema() -> DesignSchema:
    return DesignSchema()
