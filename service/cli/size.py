"""`birdsmouth size FILE`: choose timber from stock for a design, the cheapest that passes."""

from __future__ import annotations

import argparse
import json
import os
import sys
from pathlib import Path
from typing import Any

from service.cli.files import as_json, is_design, read_file, write
from service.cli.outcome import allowed_kinds
from service.cli.trouble import Refused, Trouble
from service.cli.where import doer

FORMATS = ("text", "json", "markdown", "html", "design")
FOUND, NOT_FOUND = 0, 1


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Put the command on the command line."""
    words = commands.add_parser("size", help="choose timber from stock", description=__doc__, allow_abbrev=False)
    words.add_argument("file", metavar="FILE", help="a design, with --stock; or a whole sizing request; - reads standard input")
    words.add_argument("--stock", metavar="PATH", help="JSON with stock, vary and the other members of a sizing request, for a design")
    words.add_argument("--most-checks", metavar="N", type=int, help="how many choices are checked at most")
    words.add_argument("--allow", metavar="KINDS", type=allowed_kinds, help="open,review: take these verdicts too")
    words.add_argument(
        "--format", choices=FORMATS, default="text", help="text (the default), JSON, Markdown, HTML; or the design as chosen"
    )
    words.add_argument("--units", choices=("si", "us"), default="si", help="units of what people read; numbers of JSON are always SI")
    words.add_argument("--output", metavar="PATH", type=Path, help="write there instead of to standard output")
    words.add_argument("--packs", metavar="DIR", type=Path, help="a folder of declared rule packs to read besides those there are")
    words.add_argument("--server", metavar="URL", help="choose on a running service instead of in this process")
    words.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Choose; returns 0 when a choice passes, 1 when none does, 2 when the request is at fault."""
    request = _request(given)
    try:
        told = doer(given).size(request)
    except Refused as refused:
        sys.stderr.write("".join(f"{line}\n" for line in refused.lines(f"{given.file} with {given.stock}" if given.stock else given.file)))
        return 2
    sizing = json.loads(told)
    write(_dressed(told, sizing, given), given.output)
    return FOUND if sizing["outcome"] == "found" else NOT_FOUND


def _request(given: argparse.Namespace) -> bytes:
    content = read_file(given.file)
    document = as_json(content, given.file)
    asked: dict[str, Any] = document if isinstance(document, dict) else {}
    if given.stock:
        more = as_json(read_file(given.stock), given.stock)
        if not isinstance(more, dict):
            raise Trouble(f"{given.stock} is a JSON object with stock and vary.")
        asked = {"design": document, **more}
    elif is_design(document):
        raise Trouble(f"{given.file} is a design: name what there is to choose from and what may vary with --stock PATH.")
    stated = {"most_checks": given.most_checks, "allow": sorted(given.allow) if given.allow else None}
    changes = {name: value for name, value in stated.items() if value is not None}
    return json.dumps({**asked, **changes}, ensure_ascii=False).encode() if given.stock or changes else content


def _dressed(told: bytes, sizing: dict[str, Any], given: argparse.Namespace) -> bytes:
    from service.formats import sizing as dress

    if given.format == "json":
        return told
    if given.format == "design":
        if sizing["design"] is None:
            raise Trouble(f"{sizing['in_words']} There is no design to write.")
        return json.dumps(sizing["design"], ensure_ascii=False, indent=1).encode() + b"\n"
    if given.format == "text":
        return dress.text(sizing, colour=given.output is None and sys.stdout.isatty() and not os.environ.get("NO_COLOR"))
    return dress.markdown(sizing) if given.format == "markdown" else dress.html(sizing)
