"""`birdsmouth expand FILE`: write a design out: its shape as nodes, pieces and supports, what it carries as load cases."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from service.cli.files import read_file, shown, write
from service.cli.trouble import Refused
from service.cli.where import doer

IN_ORDER, AT_FAULT = 0, 2


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Put the command on the command line."""
    words = commands.add_parser("expand", help="write a design's frame and load cases out", description=__doc__, allow_abbrev=False)
    words.add_argument("file", metavar="FILE", help="a design document; - reads standard input")
    words.add_argument("--output", metavar="PATH", type=Path, help="write there instead of to standard output")
    words.add_argument("--packs", metavar="DIR", type=Path, help="a folder of declared rule packs to read besides those there are")
    words.add_argument("--server", metavar="URL", help="ask a running service instead of this process")
    words.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Write the expansion; returns 0, or 2 when the document cannot be expanded."""
    body = read_file(given.file)
    try:
        expansion = doer(given).expand(body)
    except Refused as refused:
        sys.stderr.write("".join(f"{line}\n" for line in refused.lines(shown(given.file))))
        return AT_FAULT
    write(expansion + b"\n", given.output)
    return IN_ORDER
