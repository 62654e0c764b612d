"""`birdsmouth check FILE…`: check design documents here, or on a server with --server, and say what was found."""

from __future__ import annotations

import argparse
import datetime
import json
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

from service.cli.asked import Asked, known_findings
from service.cli.files import read_file, shown, write
from service.cli.outcome import Outcome, allowed_kinds
from service.cli.trouble import Refused, Trouble
from service.cli.where import doer
from service.formats.dressing import FORMATS, Reader
from service.formats.standing import Reports

READERS = get_args(Reader)
BUILDER = READERS[1]
LEVELS = ("error", "warning", "note")


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Put the command on the command line."""
    words = commands.add_parser("check", help="check design documents", description=__doc__, allow_abbrev=False)
    words.add_argument("files", nargs="+", metavar="FILE", help="a design document; - reads standard input")
    words.add_argument(
        "--format",
        choices=("text", "json", *FORMATS),
        default="text",
        help="text to read (the default), JSON, a page, a drawing, or one for a pipeline",
    )
    words.add_argument(
        "--for", dest="reader", choices=READERS, default=READERS[0], help="builder: one page for the site, as text, html or pdf"
    )
    words.add_argument("--units", choices=("si", "us"), default="si", help="units of what people read; numbers of JSON are always SI")
    words.add_argument("--output", metavar="PATH", type=Path, help="write there instead of to standard output")
    words.add_argument("--pack", metavar="ID", action="append", help="rule pack to use instead of the document's; may be repeated")
    words.add_argument("--as-of", metavar="DATE", type=day, help="take the rules as of this day, YYYY-MM-DD")
    words.add_argument("--baseline", metavar="FILE", help="an earlier report, or reports one a line: what is new since then is marked")
    words.add_argument("--fail-on", choices=LEVELS, default="error", help="lowest level of finding that makes the status 1")
    words.add_argument(
        "--allow", metavar="KINDS", type=allowed_kinds, default=frozenset(), help="open,review: verdicts that do not make the status 1"
    )
    words.add_argument("--packs", metavar="DIR", type=Path, help="a folder of declared rule packs to read besides those there are")
    words.add_argument("--server", metavar="URL", help="check on a running service instead of in this process")
    words.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Check every file; returns 0, 1 or 2 as the contract says."""
    _is_made(given)
    checker, asked = doer(given).check, Asked(given.pack or (), given.as_of, known_findings(given.baseline))
    outcome = Outcome(given.fail_on, given.allow)
    written: list[bytes] = []
    reports: list[tuple[Any, str]] = []
    for file in given.files:
        body = read_file(file)
        try:
            report = checker(asked.of(body))
        except Refused as refused:
            outcome.refused()
            sys.stderr.write("".join(f"{line}\n" for line in refused.lines(shown(file))))
            continue
        document = json.loads(report)
        outcome.judged(document)
        reports.append((_located(document, body, given.format), shown(file)))
        written.append(_text(document, file, given) if given.format == "text" else report)
    write(_whole(written, reports, given), given.output)
    return outcome.status


def day(text: str) -> str:
    """A day of the command line, as it is written in documents."""
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no day; write it like 2026-11-25") from None


def _located(document: dict[str, Any], body: bytes, form: str) -> Any:
    """The report with lines of the design's own text, for formats that point into files."""
    if form not in FORMATS:
        return document
    from service.formats.locating import located

    return located(document, body.decode("utf-8", "replace"))


def _text(document: dict[str, Any], file: str, given: argparse.Namespace) -> bytes:
    from service.formats.text import render

    coloured = given.output is None and sys.stdout.isatty() and not os.environ.get("NO_COLOR")
    return render(document, shown(file), colour=coloured)


def _is_made(given: argparse.Namespace) -> None:
    if given.reader == BUILDER:
        from service.formats.builder import FORMS

        if given.format not in FORMS:
            *most, last = FORMS
            raise Trouble(
                f"The page for the builder is made as {', '.join(most)} or {last}, not as {given.format}: choose one of them, or leave --for out."
            )


def _whole(written: list[bytes], reports: Reports, given: argparse.Namespace) -> bytes:
    """All that is written: formats for pipelines put several reports into one file of theirs."""
    if given.reader == BUILDER:
        from service.formats.builder import render_all

        return render_all(reports, given.format)
    return FORMATS[given.format].render_all(reports) if given.format in FORMATS else b"".join(_separated(written, given.format))


def _separated(written: list[bytes], form: str) -> Iterator[bytes]:
    """One JSON report stands as the service sends it; several stand one a line. Texts are parted by an empty line."""
    for at, report in enumerate(written):
        if at:
            yield b"\n" if form == "text" or not written[at - 1].endswith(b"\n") else b""
        yield report
