"""`birdsmouth demo`: start the service on a free port of this machine, send it the demo designs, and show what it finds."""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from service.cli.trouble import Refused, Trouble
from service.demo import design_names, read_design
from service.formats.found import AGAINST, findings, used
from service.formats.layout import RULE, paint, row, table, wrapped
from service.formats.wording import clause, governing, place, seen

FOLDER = Path("birdsmouth-demo")
HEADS = ("design", "verdict", "used", "where", "clause", "source")
WIDTHS = (15, 7, 5, 22, 28, 12)


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Put the command on the command line."""
    words = commands.add_parser("demo", help="check the demo designs over HTTP", description=__doc__, allow_abbrev=False)
    words.add_argument("--output", metavar="DIR", type=Path, default=FOLDER, help=f"folder for designs and reports (default: {FOLDER})")
    words.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Check the demo designs; the status is 0 when every one was answered, whatever it says of them."""
    from service.cli.gunicorn import running
    from service.cli.remote import Remote

    began = time.monotonic()
    with running(workers=1) as address:
        ready = time.monotonic()
        remote = Remote(address)
        answers = [(name, _checked(remote, name)) for name in design_names()]
        answered = time.monotonic()
    _keep(answers, given.output)
    reports = [(name, _document(body)) for name, body in answers]
    _say(_shown(reports))
    command = f"{_own_name()} check {given.output}"
    _say([f" Designs and reports are in {given.output}/. One whole report, and the page for the builder:"])
    _say([f"   {command}/fink.json", f"   {command}/fink.json --for builder --format pdf --output {given.output}/fink-site.pdf"])
    _say([f" Ready after {ready - began:.1f} s; {len(answers)} designs checked over HTTP in {answered - ready:.2f} s."])
    return 0


def _checked(remote: Any, name: str) -> bytes:
    try:
        body: bytes = remote.check(read_design(name))
    except Refused as refused:
        raise Trouble("\n".join(["the service refused a demo design:", *refused.lines(f"{name}.json")])) from None
    return body


def _document(body: bytes) -> dict[str, Any]:
    import json

    from service.formats.text import harmless

    document: dict[str, Any] = harmless(json.loads(body))
    return document


def _keep(answers: Sequence[tuple[str, bytes]], folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, body in answers:
            (folder / f"{name}.json").write_bytes(read_design(name))
            (folder / f"{name}.report.json").write_bytes(body)
    except OSError as error:
        raise Trouble(f"cannot write to {folder}: {error.strerror or error}. Name another folder with --output.") from None


def _shown(reports: Sequence[tuple[str, dict[str, Any]]]) -> Iterator[str]:
    """What stands against each design, and last, where a screen ends, all of them in a table."""
    shared = set.intersection(*(set(report["cautions"]) for _, report in reports))
    for name, report in reports:
        verdict = str(report["verdict"])
        yield from ("", RULE, f" {paint(verdict.upper(), verdict, _coloured())}  {report['reference']}  ({name}.json)")
        yield from (line for caution in report["cautions"] if caution not in shared for line in wrapped(caution, 1))
        yield from findings(report, colour=_coloured(), working=False, sections=AGAINST)
    yield RULE
    yield from table(HEADS, WIDTHS, ())
    for name, report in reports:
        yield from _row(name, report)
    yield RULE
    yield from (line for caution in reports[0][1]["cautions"] if caution in shared for line in wrapped(caution, 1))


def _row(name: str, report: dict[str, Any]) -> Iterator[str]:
    """What is most used, and underneath what that check asks."""
    finding = governing(report) or {}
    citation = (finding.get("citations") or [{}])[0]
    cells = (name, str(report["verdict"]), used(finding), place(finding.get("where") or {}), clause(citation), seen(citation))
    yield from row(WIDTHS, cells)
    yield from wrapped(str(finding.get("title", "")), 1 + sum(WIDTHS[:3]) + 2 * 3)


def _own_name() -> str:
    """How this command can be typed again from here: it need not be on PATH."""
    if shutil.which("birdsmouth"):
        return "birdsmouth"
    program = Path(sys.argv[0])
    return os.path.relpath(program) if program.name == "birdsmouth" else f"{Path(sys.executable).name} -m birdsmouth"


def _coloured() -> bool:
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def _say(lines: Sequence[str] | Iterator[str]) -> None:
    sys.stdout.write("".join(f"{line.rstrip()}\n" for line in lines))
