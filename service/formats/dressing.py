"""The list of formats: what each is called, its media type where HTTP offers it, and what makes it. Modules load when asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import Literal

import msgspec

from service.formats.standing import Reports
from service.formats.wording import Values

Reader = Literal["designer", "builder"]
"""For whom a report is dressed: the whole of it, or the page the site needs (`builder.py`)."""


@dataclass(frozen=True, slots=True)
class Format:
    """One format. name: on the command line; media_type: over HTTP, None where it is of no use there."""

    name: str
    media_type: str | None

    def render(self, report: Values, source: str | None = None) -> bytes:
        """One report in this format."""
        return bytes(import_module(f"service.formats.{self.name}").render(report, source))

    def render_all(self, reports: Reports) -> bytes:
        """Several reports in one file of this format."""
        return bytes(import_module(f"service.formats.{self.name}").render_all(reports))

    def dress(self, report: bytes, source: str | None) -> bytes:
        """One report, given as the JSON bytes the pipeline makes."""
        return self.render(msgspec.json.decode(report), source)


FORMATS: Mapping[str, Format] = {
    each.name: each
    for each in (
        Format("sarif", "application/sarif+json"),
        Format("junit", "application/xml"),
        Format("markdown", "text/markdown"),
        Format("html", "text/html"),
        Format("pdf", "application/pdf"),
        Format("svg", "image/svg+xml"),
        Format("github", None),
        Format("gitlab", None),
    )
}
"""Every format a report can be dressed in besides JSON and text, by name."""
