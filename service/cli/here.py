"""Checking in this process: the same bytes as the service answers."""

from __future__ import annotations

import datetime
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rules.judge import Options
from rules.judge.options import Units
from rules.library import Library, LibraryRefused, load_library
from rules.subject.faults import DesignRefused
from service.cli.trouble import Refused, Trouble
from service.comparisons import compare_document
from service.jobs import do_job
from service.memory import keep_memory, look_for_rings_seldom
from service.pipeline import check_document, expand_document
from service.problems import Refusal
from service.reading import BodyRefused
from service.settings import Settings, SettingsRefused, settings_from
from service.sizings import size_document


class Here:
    """The packs that are installed or mounted, read once. today: the day for designs that name none; units: of what people read."""

    def __init__(self, today: datetime.date, packs: Path | None = None, units: Units = "si") -> None:
        self._today, self._settings, self._options = today, read_settings(packs), Options(units=units)
        self._library = read_packs(self._settings)
        look_for_rings_seldom()

    def check(self, body: bytes) -> bytes:
        """The report of one design as JSON bytes; Refused when it cannot be checked."""
        largest = self._settings.max_body_bytes
        with _refusing():
            return check_document(body, self._library, today=self._today, options=self._options, largest=largest)

    def expand(self, body: bytes) -> bytes:
        """One design written out, as JSON bytes; Refused when it cannot be."""
        with _refusing():
            return expand_document(body, self._library, today=self._today, largest=self._settings.max_body_bytes)

    def compare(self, body: bytes) -> bytes:
        """A comparison as JSON bytes; Refused when it cannot be made."""
        with _refusing():
            return compare_document(body, self._library, today=self._today, options=self._options, largest=self._settings.max_body_bytes)

    def size(self, body: bytes) -> bytes:
        """A sizing as JSON bytes; Refused when it cannot be made."""
        with _refusing():
            return size_document(body, self._library, today=self._today, options=self._options, largest=self._settings.max_body_bytes)

    def job(self, body: bytes) -> bytes:
        """A job's answer as JSON bytes; Refused when it cannot be taken."""
        with _refusing():
            return do_job(body, self._library, today=self._today, options=self._options, largest=self._settings.max_body_bytes)


@contextmanager
def _refusing() -> Iterator[None]:
    try:
        yield
    except (BodyRefused, DesignRefused) as error:
        raise Refused(error.faults) from None
    except Refusal as error:
        raise Refused(error.problem.faults) from None


def read_settings(packs: Path | None = None) -> Settings:
    """The settings of the environment, the same as the service's; Trouble when they make no sense.

    packs: a folder of declared packs in place of BIRDSMOUTH_PACKS.
    """
    named = {"BIRDSMOUTH_PACKS": str(packs)} if packs is not None else {}
    try:
        return settings_from({**os.environ, **named})
    except SettingsRefused as refusal:
        raise Trouble("\n".join(["the environment makes no sense:", *refusal.faults])) from None


def read_packs(settings: Settings) -> Library:
    """Every rule pack there is. A broken one is named on standard error; Trouble when nothing may be checked without it."""
    keep_memory()
    try:
        library = load_library(settings.packs)
    except LibraryRefused as refusal:
        raise Trouble(str(refusal)) from None
    for broken in library.broken:
        for fault in broken.faults:
            sys.stderr.write(f"birdsmouth: the rule pack {broken.name} is left out: {fault}\n")
    return library
