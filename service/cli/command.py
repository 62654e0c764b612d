"""Reading the command line and answering for whatever goes wrong."""

from __future__ import annotations

import argparse
import os
import sys
import traceback
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version

from service.cli import bulk, check, compare, demo, expand, packs, serve, size, token
from service.cli.trouble import Trouble

IN_ORDER, FINDINGS, AT_FAULT = 0, 1, 2
INTERRUPTED = 130

DESCRIPTION = "Checks timber roof trusses and floor joists against pluggable, cited rule packs."
EPILOG = (
    "Exit status: 0 in order, 1 findings, 2 the input or the tool is at fault. "
    "A check is no substitute for the local code and a licensed engineer: read what each report says was assumed and not checked."
)


def parser() -> argparse.ArgumentParser:
    """The whole command line, for parsing and for the test that holds the documents to it."""
    whole = argparse.ArgumentParser(prog="birdsmouth", description=DESCRIPTION, epilog=EPILOG, allow_abbrev=False)
    whole.add_argument("--version", action="version", version=f"birdsmouth {_version()}")
    whole.add_argument("--traceback", action="store_true", help="when the tool itself goes wrong, show where (for a fault report)")
    commands = whole.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for command in (check, bulk, compare, size, expand, demo, serve, token, packs):
        command.add(commands)
    return whole


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; argv: the words after the program's name, None for those of this process. Returns the exit status."""
    given = parser().parse_args(argv)
    try:
        status: int = given.run(given)
        sys.stdout.flush()
    except Trouble as trouble:
        sys.stderr.write(f"birdsmouth: {trouble}\n")
        return AT_FAULT
    except KeyboardInterrupt:
        sys.stderr.write("birdsmouth: stopped.\n")
        return INTERRUPTED
    except BrokenPipeError:
        _forget_stdout()
        return AT_FAULT
    except Exception as error:
        _own_up(error, given.traceback)
        return AT_FAULT
    return status


def _own_up(error: Exception, show: bool) -> None:
    sys.stderr.write(f"birdsmouth: the tool went wrong, and nothing may be concluded from this run: {type(error).__name__}: {error}\n")
    if show:
        traceback.print_exception(error)
    else:
        sys.stderr.write("birdsmouth: run it again with --traceback before the command to see where, and report that.\n")


def _forget_stdout() -> None:
    """Whoever read our output went away; keep the interpreter from complaining about it once more when it closes."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _version() -> str:
    try:
        return version("birdsmouth")
    except PackageNotFoundError:
        return "0+unknown"
