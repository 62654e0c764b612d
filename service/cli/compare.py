"""`birdsmouth compare FILE…`: designs, or one design under several packs, days or code traditions, findings side by side."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from service.cli.check import day
from service.cli.files import as_json, is_design, read_file, shown, write
from service.cli.outcome import Outcome, allowed_kinds
from service.cli.trouble import Refused, Trouble
from service.cli.where import doer

FORMATS = ("text", "json", "markdown", "html")


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Put the command on the command line."""
    words = commands.add_parser("compare", help="lay findings side by side", description=__doc__, allow_abbrev=False)
    words.add_argument(
        "files", nargs="+", metavar="FILE", help="several designs; or one, with --sides, --pack or --as-of; or one comparison"
    )
    words.add_argument("--sides", metavar="PATH", help="a JSON list of sides for one design: name, and site, codes or grades of its own")
    words.add_argument("--pack", metavar="ID,…", action="append", help="a set of packs, joined by commas; each one is a side")
    words.add_argument("--as-of", metavar="DATE", action="append", type=day, help="a day whose rules hold, YYYY-MM-DD; each one is a side")
    words.add_argument("--format", choices=FORMATS, default="text", help="text to read (the default), JSON, Markdown or a page of HTML")
    words.add_argument("--units", choices=("si", "us"), default="si", help="units of what people read; numbers of JSON are always SI")
    words.add_argument("--output", metavar="PATH", type=Path, help="write there instead of to standard output")
    words.add_argument(
        "--allow", metavar="KINDS", type=allowed_kinds, default=frozenset(), help="open,review: verdicts that do not make the status 1"
    )
    words.add_argument("--packs", metavar="DIR", type=Path, help="a folder of declared rule packs to read besides those there are")
    words.add_argument("--server", metavar="URL", help="compare on a running service instead of in this process")
    words.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Compare; returns 0 when every side passes, 1 when one does not, 2 when the comparison cannot be made."""
    outcome = Outcome("error", given.allow)
    request = _request(given)
    try:
        told = doer(given).compare(request)
    except Refused as refused:
        outcome.refused()
        sys.stderr.write("".join(f"{line}\n" for line in refused.lines("comparison")))
        return outcome.status
    comparison = json.loads(told)
    for side in comparison["sides"]:
        outcome.judged({"verdict": side["verdict"]})
    write(_dressed(told, comparison, given), given.output)
    return outcome.status


def _request(given: argparse.Namespace) -> bytes:
    """The comparison that is asked for: the one file that is one as it is, or sides made of what was named."""
    if [bool(given.sides), bool(given.pack), bool(given.as_of), len(given.files) > 1].count(True) > 1:
        raise Trouble("name the sides in one way: by several files, or for one file by --sides, by --pack or by --as-of.")
    contents = [read_file(file) for file in given.files]
    if len(contents) > 1:
        sides = [{"name": name, "design": as_json(text, name)} for name, text in zip(_names(given.files), contents, strict=True)]
        return _bytes({"sides": sides})
    document = as_json(contents[0], given.files[0])
    named = list(_sides(given))
    if not named and is_design(document):
        raise Trouble(f"{shown(given.files[0])} is one design: name a second one, or sides of it by --sides, --pack or --as-of.")
    if not named:
        return contents[0]  # a comparison by itself; anything else is refused with reasons
    return _bytes({"design": document, "sides": named})


def _sides(given: argparse.Namespace) -> Iterator[Any]:
    if given.sides:
        yield from _list(as_json(read_file(given.sides), given.sides), given.sides)
    for packs in given.pack or ():
        yield {"name": packs, "codes": {"packs": packs.split(",")}}
    for date in given.as_of or ():
        yield {"name": date, "codes": {"as_of": date}}


def _list(value: Any, file: str) -> list[Any]:
    if not isinstance(value, list):
        raise Trouble(f"{file} is a JSON list of sides, each an object with a name.")
    return value


def _names(files: list[str]) -> list[str]:
    """A name for each file: its stem, or where stems are alike the whole path."""
    stems = [Path(file).stem for file in files]
    return stems if len(set(stems)) == len(stems) else [shown(file) for file in files]


def _bytes(document: dict[str, Any]) -> bytes:
    return json.dumps(document, ensure_ascii=False).encode()


def _dressed(told: bytes, comparison: dict[str, Any], given: argparse.Namespace) -> bytes:
    from service.formats import comparison as dress

    if given.format == "json":
        return told
    if given.format == "text":
        return dress.text(comparison, colour=given.output is None and sys.stdout.isatty() and not os.environ.get("NO_COLOR"))
    return dress.markdown(comparison) if given.format == "markdown" else dress.html(comparison)
