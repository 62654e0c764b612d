"""What an operator wants to read once: what was started, and which rule packs are left out."""

from __future__ import annotations

from collections.abc import Mapping

from flask import Flask

from rules import __version__
from service.http.running import held_by
from service.journal import journal
from service.settings import misspelt


def tell(app: Flask, environment: Mapping[str, str]) -> None:
    """Write to the log what runs, every pack that cannot be used with what is wrong with it, and every setting that nothing reads."""
    log, held = journal("birdsmouth.start"), held_by(app)
    access = "tokens" if held.settings.tokens else "everybody" if held.settings.open_to_all else "this machine"
    log.info("started", engine=__version__, packs=len(held.library.packs), access=access)
    for pack in held.library.broken:
        log.warning("pack left out", pack=pack.name, faults=[str(fault) for fault in pack.faults])
    for name, meant in misspelt(environment).items():
        log.warning("setting not read", setting=name, meant=meant)
