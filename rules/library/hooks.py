"""The door packs come in by: one hook, entered from the entry-point group `birdsmouth`."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.metadata import EntryPoint, entry_points
from typing import Any

import pluggy

from rules.library.reading import PackSource

PROJECT = "birdsmouth"
hookspec = pluggy.HookspecMarker(PROJECT)
hookimpl = pluggy.HookimplMarker(PROJECT)


class PackHooks:
    """What a distribution that brings packs implements."""

    @hookspec
    def birdsmouth_packs(self) -> list[PackSource]:
        """Say where this distribution's pack folders are, each with the package name its Python is imported by.

        Called once, when a library is loaded. It only names folders: reading, checking and refusing is done for it.
        """
        raise NotImplementedError


def found_packs(group: str = PROJECT) -> Iterator[tuple[str, list[PackSource] | Exception]]:
    """For every entry point, sorted by name: its packs, or what it raised. One that raises never stops the next."""
    for entry in sorted(entry_points(group=group), key=lambda each: (each.name, each.value)):
        yield entry.name, _asked(entry)


def _asked(entry: EntryPoint) -> list[PackSource] | Exception:
    try:
        return packs_of(entry.load())
    except Exception as error:
        return error


def packs_of(plugin: Any) -> list[PackSource]:
    """The packs one plug-in names. Raises TypeError when it answers with anything else."""
    manager = pluggy.PluginManager(PROJECT)
    manager.add_hookspecs(PackHooks)
    manager.register(plugin)
    manager.check_pending()
    answers = manager.hook.birdsmouth_packs()
    sources = [source for answer in answers for source in answer]
    for source in sources:
        if not isinstance(source, PackSource):
            raise TypeError(f"birdsmouth_packs gave a {type(source).__name__}, not a PackSource")
    if not answers:
        raise TypeError("it has no birdsmouth_packs marked with hookimpl")
    return sources
