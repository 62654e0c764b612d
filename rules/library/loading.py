"""Every pack there is, read one by one, each in its own guard, then held against each other."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar

from rules.library.fitting import unfit
from rules.library.hooks import found_packs
from rules.library.pack import Pack
from rules.library.reading import PackSource, Reading, is_required, read_pack
from rules.library.yaml_source import PackFault, PackRefused
from rules.subject.faults import BirdsmouthError
from rules.subject.material import Material

Made = TypeVar("Made")
MOST_MADE = 32
"""Of what follows from the library alone, so much is kept."""


@dataclass(frozen=True, slots=True)
class BrokenPack:
    """A pack that was found and cannot be used. name: its folder, or its entry point; required: no start without it."""

    name: str
    origin: str
    faults: tuple[PackFault, ...]
    required: bool = False


@dataclass(eq=False)
class LibraryRefused(BirdsmouthError):
    """A required pack is broken: nothing may be checked without it."""

    broken: tuple[BrokenPack, ...]

    def __post_init__(self) -> None:
        lines = [f"{each.name}/{fault}" for each in self.broken for fault in each.faults]
        super().__init__("\n".join(["a required rule pack cannot be used:", *lines]))


@dataclass(frozen=True)
class Library:
    """All packs that can be used, sorted by id, and those that cannot."""

    packs: tuple[Pack, ...]
    broken: tuple[BrokenPack, ...] = ()

    @cached_property
    def _by_id(self) -> dict[str, Pack]:
        return {pack.id: pack for pack in self.packs}

    @cached_property
    def _made(self) -> dict[Hashable, Any]:
        return {}

    def once(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """What follows from the library and this key alone, made when it is first asked for; the oldest makes room."""
        made: Made | None = self._made.get(key)
        if made is None:
            made = self._made[key] = make()
            if len(self._made) > MOST_MADE:
                self._made.pop(next(iter(self._made)), None)
        return made

    def pack(self, id: str) -> Pack:
        """The pack of this id. Raises KeyError."""
        return self._by_id[id]

    def holds(self, id: str) -> bool:
        """Whether there is a usable pack of this id."""
        return id in self._by_id

    @cached_property
    def foundations(self) -> dict[str, tuple[Pack, ...]]:
        """Of each pack by id: itself and all it builds on."""
        return {pack.id: tuple(self.pack(id) for id in self.closure([pack.id])) for pack in self.packs}

    def materials(self, tradition: str | None = None) -> tuple[Material, ...]:
        """Every grade, or those of one tradition, in pack order."""
        return tuple(each for pack in self.packs for each in pack.materials if tradition in (None, each.tradition))

    def closure(self, ids: Iterable[str]) -> dict[str, str | None]:
        """These packs and all they build on, each with the id of the pack that brought it (None: asked for itself)."""
        brought: dict[str, str | None] = dict.fromkeys(ids)
        queue = list(brought)
        while queue:
            for below in self.pack(queue[0]).builds_on:
                if below not in brought:
                    brought[below] = queue[0]
                    queue.append(below)
            queue.pop(0)
        return brought


def load_library(mounted: Path | None = None) -> Library:
    """Read every shipped and installed pack, and those in the mounted folder (declared files only).

    Raises LibraryRefused when a required pack is broken; any other broken pack is listed in Library.broken.
    """
    sources, broken = _found()
    return library_of([*sources, *_mounted(mounted)], broken)


def held_sources(mounted: Path | None = None) -> list[PackSource]:
    """Where every shipped, installed and mounted pack is, readable or not."""
    return [*_found()[0], *_mounted(mounted)]


def readings_of(sources: Iterable[PackSource]) -> list[Reading]:
    """Those of these packs that can be read, each by itself."""
    return _read(sources)[0]


def _found() -> tuple[list[PackSource], list[BrokenPack]]:
    broken: list[BrokenPack] = []
    sources: list[PackSource] = []
    for name, found in found_packs():
        if isinstance(found, Exception):
            fault = PackFault(name, 0, 0, f"the entry point cannot be used: {type(found).__name__}: {found}")
            broken.append(BrokenPack(name, "installed", (fault,), required=name == "shipped"))
        else:
            sources += found
    return sources, broken


def with_pack(library: Library, reading: Reading) -> Library:
    """The same library with one more pack, in place of any of its id. Whether it fits the others is for the linter to say."""
    packs = [pack for pack in library.packs if pack.id != reading.pack.id]
    return Library(tuple(sorted([*packs, reading.pack], key=lambda pack: pack.id)), library.broken)


def library_of(sources: Iterable[PackSource], broken: Iterable[BrokenPack] = ()) -> Library:
    """A library of exactly these pack folders. Raises LibraryRefused when a required one is broken."""
    readings, unread = _read(sources)
    readings, unfit = _fitting(readings)
    all_broken = tuple(sorted((*broken, *unread, *unfit), key=lambda each: each.name))
    stopping = tuple(each for each in all_broken if each.required)
    if stopping:
        raise LibraryRefused(stopping)
    return Library(tuple(sorted((reading.pack for reading in readings), key=lambda pack: pack.id)), all_broken)


def _mounted(folder: Path | None) -> list[PackSource]:
    if folder is None:
        return []
    folders = [folder] if (folder / "pack.yaml").exists() else sorted(each for each in folder.iterdir() if _is_visible(each))
    return [PackSource(each, None, "mounted") for each in folders]


def _is_visible(each: Path) -> bool:
    return each.is_dir() and not each.name.startswith((".", "_"))


def _read(sources: Iterable[PackSource]) -> tuple[list[Reading], list[BrokenPack]]:
    readings: list[Reading] = []
    broken: list[BrokenPack] = []
    for source in sources:
        try:
            readings.append(read_pack(source))
        except PackRefused as refusal:
            broken.append(BrokenPack(source.folder.name, source.origin, refusal.faults, is_required(source)))
        except Exception as error:
            fault = PackFault("pack.yaml", 0, 0, f"the pack cannot be read: {type(error).__name__}: {error}")
            broken.append(BrokenPack(source.folder.name, source.origin, (fault,), is_required(source)))
    return readings, broken


def _fitting(readings: list[Reading]) -> tuple[list[Reading], list[BrokenPack]]:
    """Take out packs that do not fit the others until none is left that does not."""
    broken: list[BrokenPack] = []
    while True:
        loose = {i: faults for i in range(len(readings)) if (faults := tuple(unfit(readings, i)))}
        if not loose:
            return readings, broken
        broken += [
            BrokenPack(readings[i].pack.id, readings[i].pack.origin, faults, readings[i].pack.required) for i, faults in loose.items()
        ]
        readings = [reading for i, reading in enumerate(readings) if i not in loose]
