"""What the command line asks of a design beyond what the design itself asks: packs, a day, and the findings of an earlier report."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.cli.files import read_file, shown
from service.cli.trouble import Trouble
from service.formats.standing import AGAINST
from service.reading import BodyRefused, read

Known = Mapping[str, Sequence[str]]


@dataclass(frozen=True)
class Asked:
    """packs and as_of: in place of the design's own. known: ids of findings by the reference of their design, in place of its baseline;
    None leaves the design's own."""

    packs: Sequence[str] = ()
    as_of: str | None = None
    known: Known | None = None

    def of(self, body: bytes) -> bytes:
        """The design with what is asked for; one that cannot be read goes on as it is, to be refused with reasons."""
        if not (self.packs or self.as_of or self.known is not None):
            return body
        try:
            design = read(body)
        except BodyRefused:
            return body
        codes = design.get("codes") if isinstance(design, dict) else None
        if not isinstance(design, dict) or not isinstance(codes, dict | None):
            return body
        return json.dumps(design | self._codes(codes) | self._baseline(design), ensure_ascii=False).encode()

    def _codes(self, codes: dict[str, Any] | None) -> dict[str, Any]:
        asked = ({"packs": list(self.packs)} if self.packs else {}) | ({"as_of": self.as_of} if self.as_of else {})
        return {"codes": {**(codes or {}), **asked}} if asked else {}

    def _baseline(self, design: Mapping[str, Any]) -> dict[str, Any]:
        return {} if self.known is None else {"baseline": list(self.known.get(str(design.get("reference")), ()))}


def known_findings(file: str | None) -> Known | None:
    """What an earlier run found, by the reference of its design: from a report, reports one a line, or the answer to a job.

    Trouble when the file holds none of these; None without a file.
    """
    if file is None:
        return None
    found = {str(report.get("reference")): [each["id"] for each in _findings(report)] for report in _reports(file)}
    if not found:
        raise Trouble(f"{shown(file)} holds no report. A baseline is what `birdsmouth check --format json` wrote, or the answer to a job.")
    return found


def _findings(report: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    listed = report.get("findings")
    items = listed if isinstance(listed, list) else ()
    return (each for each in items if isinstance(each, dict) and each.get("kind") in AGAINST and isinstance(each.get("id"), str))


def _reports(file: str) -> list[Mapping[str, Any]]:
    content = read_file(file)
    lines = [line for line in content.splitlines() if line.strip()]
    whole = _values(lines) or _values([content])
    return [report for each in whole for report in _of(each) if report.get("format") == "birdsmouth-report-1"]


def _values(texts: Iterable[bytes]) -> list[Any]:
    """The values of these JSON texts; none where one of them is no JSON, as a line of an indented document is not."""
    try:
        return [json.loads(text) for text in texts]
    except ValueError:
        return []


def _of(document: Any) -> Iterable[Mapping[str, Any]]:
    if not isinstance(document, dict):
        return ()
    rows = document.get("designs") if document.get("format") == "birdsmouth-job-report-1" else None
    return [document] if rows is None else [row["report"] for row in rows if row.get("report")]
