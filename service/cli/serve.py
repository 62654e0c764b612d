"""`birdsmouth serve`: the HTTP service in the foreground, until Ctrl-C."""

from __future__ import annotations

import argparse
import os
import socket
import sys

from service.cli.gunicorn import command_line
from service.cli.trouble import Trouble
from service.settings import OFF

LOOPBACK = ("127.0.0.1", "::1", "localhost")


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Put the command on the command line."""
    words = commands.add_parser("serve", help="run the HTTP service", description=__doc__, allow_abbrev=False)
    words.add_argument("--host", default="127.0.0.1", help="address to listen on (default: 127.0.0.1, this machine only)")
    words.add_argument("--port", type=_port, default=8000, metavar="N", help="port to listen on (default: 8000)")
    words.add_argument("--workers", type=_count, metavar="N", help="worker processes (default: what the service's configuration says)")
    words.add_argument("--packs", metavar="DIR", help="a folder of declared rule packs to read besides those there are (BIRDSMOUTH_PACKS)")
    words.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Become the server: this process is replaced, so signals and the exit status are the server's own."""
    if given.host not in LOOPBACK and not os.environ.get("BIRDSMOUTH_TOKENS", "").strip():
        raise Trouble(
            f"--host {given.host} lets other machines in, and nobody is asked for a token. Set BIRDSMOUTH_TOKENS to a file of tokens "
            "(birdsmouth token NAME makes a line of it), or to off where a gateway before it sees to who may call."
        )
    _can_listen(given.host, given.port)
    host = f"[{given.host}]" if ":" in given.host else given.host
    sys.stderr.write(f"birdsmouth: starting on http://{host}:{given.port}/, until Ctrl-C\n")
    if given.host not in LOOPBACK and os.environ["BIRDSMOUTH_TOKENS"].strip() == OFF:
        sys.stderr.write("birdsmouth: other machines can reach this, and it asks nobody for a token, as you said.\n")
    sys.stderr.flush()
    if given.packs is not None:
        os.environ["BIRDSMOUTH_PACKS"] = given.packs
    words = command_line(f"{host}:{given.port}", workers=given.workers)
    os.execv(words[0], words)


def _can_listen(host: str, port: int) -> None:
    """Raise Trouble where nobody can listen there: told at once, not after everything has been loaded and tried for seconds."""
    try:
        socket.create_server((host, port), family=socket.AF_INET6 if ":" in host else socket.AF_INET).close()
    except OSError as error:
        raise Trouble(f"--host {host} --port {port}: {os.strerror(error.errno) if error.errno and error.errno > 0 else error}.") from None


def _port(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text!r} is no port; give a whole number from 1 to 65535")
    return int(text)


def _count(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 64:
        raise argparse.ArgumentTypeError(f"{text!r}: give a whole number from 1 to 64")
    return int(text)
