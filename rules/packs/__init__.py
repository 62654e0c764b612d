"""The packs that ship: one folder each, entering by the same door as anybody else's."""

from __future__ import annotations

from pathlib import Path

from rules.library.hooks import hookimpl
from rules.library.reading import PackSource


@hookimpl
def birdsmouth_packs() -> list[PackSource]:
    """Every folder beside this file that holds a pack.yaml."""
    here = Path(__file__).parent
    folders = sorted(each.parent for each in here.glob("*/pack.yaml"))
    return [PackSource(folder, f"{__name__}.{folder.name}", "shipped") for folder in folders]
