"""`birdsmouth bulk PATH…`: check the design exports of one building together and say what was found over all of them."""

from __future__ import annotations

import argparse
import json
import os
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from service.cli.check import LEVELS, day
from service.cli.files import as_json, read_file, shown, write
from service.cli.outcome import Outcome, allowed_kinds
from service.cli.trouble import Refused, Trouble
from service.cli.where import doer

OWN, OF_REPORTS = ("text", "json", "markdown", "html"), ("sarif", "junit")
JOB = "birdsmouth-job-1"
ANSWERS = tuple(f"birdsmouth-{name}-1" for name in ("report", "job-report", "comparison", "sizing", "analysis", "trial"))


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Put the command on the command line."""
    words = commands.add_parser("bulk", help="check the designs of one building together", description=__doc__, allow_abbrev=False)
    words.add_argument("paths", nargs="+", metavar="PATH", help="designs, folders of designs (*.json, at any depth), or one job document")
    words.add_argument("--job", metavar="REFERENCE", default="BULK", help="what the answer calls the job")
    words.add_argument("--stop-on", choices=("refused", "fail"), help="end at the first design that cannot be checked, or that fails")
    words.add_argument(
        "--format", choices=(*OWN, *OF_REPORTS), default="text", help="text to read (the default), JSON, or one for a pipeline"
    )
    words.add_argument("--units", choices=("si", "us"), default="si", help="units of what people read; numbers of JSON are always SI")
    words.add_argument("--output", metavar="PATH", type=Path, help="write there instead of to standard output")
    words.add_argument("--as-of", metavar="DATE", type=day, help="take the rules as of this day, YYYY-MM-DD")
    words.add_argument("--fail-on", choices=LEVELS, default="error", help="lowest level of finding that makes the status 1")
    words.add_argument(
        "--allow", metavar="KINDS", type=allowed_kinds, default=frozenset(), help="open,review: verdicts that do not make the status 1"
    )
    words.add_argument("--packs", metavar="DIR", type=Path, help="a folder of declared rule packs to read besides those there are")
    words.add_argument("--server", metavar="URL", help="check on a running service instead of in this process")
    words.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Check all of it; returns 0 in order, 1 findings or designs not reached, 2 where a design cannot be checked."""
    files = list(_files(given.paths))
    request, sources = _request(files, given)
    outcome = Outcome(given.fail_on, given.allow)
    try:
        told = doer(given).job(request)
    except Refused as refused:
        sys.stderr.write("".join(f"{_by_file(line, sources)}\n" for line in refused.lines("job")))
        return 2
    job = json.loads(told)
    for row in job["designs"]:
        _take(row, outcome)
    write(_dressed(told, job, sources, given), given.output)
    return outcome.status


def _take(row: dict[str, Any], outcome: Outcome) -> None:
    if row["problem"]:
        outcome.refused()
    else:
        outcome.judged(row["report"] or {"verdict": "fail" if row["status"] is None else row["verdict"]})


def _files(paths: list[str]) -> Iterator[str]:
    """Every file named, and every *.json below a folder named, in the order of their names; what says that it is no design is left out
    there, with a word of it."""
    for path in paths:
        if Path(path).is_dir():
            found = sorted(str(file) for file in Path(path).rglob("*.json"))
            others = [file for file in found if _is_other(file)]
            if others:
                sys.stderr.write(f"birdsmouth: left out as no designs, but answers to some: {', '.join(others)}\n")
            if len(found) == len(others):
                raise Trouble(f"{path} holds no design (*.json).")
            yield from (file for file in found if file not in others)
        else:
            yield path


def _is_other(file: str) -> bool:
    """Whether a file says of itself that it is an answer of birdsmouth. One that cannot be read is a design that cannot be checked."""
    try:
        document = json.loads(Path(file).read_bytes())
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(document, dict) and str(document.get("format")) in ANSWERS


def _by_file(line: str, sources: list[str | None]) -> str:
    """A fault's line with the file of the design it is about, and of one it names, in place of their numbers."""
    named = re.sub(r"^job: /designs/(\d+)", lambda found: f"{_source(found[1], sources)}: ", line)
    return re.sub(r"\bDesign (\d+) of the job\b", lambda found: _source(found[1], sources), named)


def _source(number: str, sources: list[str | None]) -> str:
    at = int(number)
    return (sources[at] if at < len(sources) else None) or f"design {at} of the job"


def _request(files: list[str], given: argparse.Namespace) -> tuple[bytes, list[str | None]]:
    """The job, and the file each of its designs came from."""
    documents = [as_json(read_file(file), file) for file in files]
    sources: list[str | None] = [shown(file) for file in files]
    if len(files) == 1 and isinstance(documents[0], dict) and documents[0].get("format") == JOB:
        job, sources = documents[0], []
    else:
        job = {"format": JOB, "reference": given.job, "designs": documents}
    asked = {"stop_on": given.stop_on} if given.stop_on else {}
    asked |= {"codes": {**(job.get("codes") or {}), "as_of": given.as_of}} if given.as_of else {}
    return json.dumps({**job, **asked, "reports": "all"}, ensure_ascii=False).encode(), sources


def _dressed(told: bytes, job: dict[str, Any], sources: list[str | None], given: argparse.Namespace) -> bytes:
    from service.formats import job as dress

    if given.format == "json":
        return told
    if given.format in OF_REPORTS:
        return dress.of_reports(job, given.format, sources)
    if given.format == "text":
        return dress.text(job, colour=given.output is None and sys.stdout.isatty() and not os.environ.get("NO_COLOR"))
    return dress.markdown(job) if given.format == "markdown" else dress.html(job)
