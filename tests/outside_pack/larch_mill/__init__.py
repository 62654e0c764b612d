"""The mill's rules; imports nothing of the checker but its one public name."""

from pathlib import Path

from birdsmouth import PackSource, hookimpl


@hookimpl
def birdsmouth_packs() -> list[PackSource]:
    """This folder is the pack."""
    return [PackSource(Path(__file__).parent, __name__)]
