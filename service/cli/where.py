"""Where a command has its work done: in this process, or on a server."""

from __future__ import annotations

import argparse
import datetime
from typing import TYPE_CHECKING

from rules.judge.options import Units
from service.cli.trouble import Trouble

if TYPE_CHECKING:
    from service.cli.here import Here
    from service.cli.remote import Remote


def doer(given: argparse.Namespace) -> Here | Remote:
    """Who checks, expands, compares, chooses: both do the same. Raises Trouble where packs are named that the server cannot see."""
    units: Units = vars(given).get("units", "si")
    if given.server and given.packs:
        raise Trouble("--packs reads packs here and --server works elsewhere: mount them there (BIRDSMOUTH_PACKS), or leave one out.")
    if given.server:
        from service.cli.remote import Remote

        return Remote(given.server, units)
    from service.cli.here import Here

    return Here(datetime.datetime.now(datetime.UTC).date(), given.packs, units)
