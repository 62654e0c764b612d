"""The shape of a trial: a pack's files, and designs to try it on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from marshmallow import fields

from service.limits import LIMITS
from service.schemas.bounds import Pattern
from service.schemas.complaints import against
from service.schemas.fields import DocumentSchema, Items, Plain, Table, about

FILE_NAME = Pattern(
    r"^[A-Za-z0-9_-][A-Za-z0-9_.-]*(?:/[A-Za-z0-9_-][A-Za-z0-9_.-]*)*$", "a path inside the pack such as declared/pitch.yaml"
)


class FileText(Plain, fields.String):
    """The text of one file, whatever stands in it: it is the pack reader's to judge."""

    wants = "the text of a file"

    def __init__(self) -> None:
        super().__init__(metadata=about("The text of the file.", "id: mill-practice\ntitle: Practice of the mill\n"))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise against("wrong-type", "The text of a file is needed here.", self.wants, "Give the file's text.")
        return value


class AnyDesign(Plain, fields.Dict):
    """A design document; what is wrong with it is said beside it, not of the trial."""

    wants = "a design document"

    def __init__(self, *, required: bool = False) -> None:
        begins = {"format": "birdsmouth-design-1", "reference": "MILL-T04"}
        super().__init__(
            required=required, allow_none=not required, metadata=about("A design document, as POST /v1/checks takes it.", begins)
        )

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> dict[str, Any]:
        if not isinstance(value, dict):
            raise against("wrong-type", "A design document is needed here.", self.wants, "Give an object.")
        return value


class TrialSchema(DocumentSchema):
    """A declared rule pack as its files, and designs to try it on. Nothing of it is kept."""

    files = Table(FILE_NAME, FileText(), "The pack's files: path inside the pack folder, and text.", most=LIMITS.trial_files)
    designs = Items(
        AnyDesign(), "Designs to judge by the pack, together with the packs in force at their sites.", most=LIMITS.trial_designs
    )
