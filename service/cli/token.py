"""`birdsmouth token NAME`: a new token for a caller, and the line by which the service knows it."""

from __future__ import annotations

import argparse
import sys

from service.tokens import NAME, digest_of, new_token


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Put the command on the command line."""
    words = commands.add_parser("token", help="make a token for a caller of the service", description=__doc__, allow_abbrev=False)
    words.add_argument("name", type=_name, metavar="NAME", help="what the log calls the caller: small letters, digits and hyphens")
    words.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Print the line for the file BIRDSMOUTH_TOKENS names; say the token itself once, where it does not get into that file."""
    token = new_token()
    sys.stdout.write(f"{given.name} {digest_of(token)}\n")
    sys.stderr.write(f"birdsmouth: the token of {given.name}, shown this once: {token}\n")
    return 0


def _name(text: str) -> str:
    if not NAME.fullmatch(text):
        raise argparse.ArgumentTypeError(f"{text!r}: use small letters, digits and hyphens between them")
    return text
