"""Checking in this process: the same bytes as the service answers."""

from __future__ import annotations

import datetime

from rules.judge import Options
from rules.library import load_library
from rules.subject.faults import DesignRefused
from service.cli.trouble import Refused
from service.pipeline import check_document
from service.reading import BodyRefused


class Here:
    """The packs that are installed, read once. today: the day for designs that name none."""

    def __init__(self, today: datetime.date) -> None:
        self._today, self._library = today, load_library()

    def check(self, body: bytes) -> bytes:
        """The report of one design as JSON bytes; Refused when it cannot be checked."""
        try:
            return check_document(body, self._library, today=self._today, options=Options())
        except (BodyRefused, DesignRefused) as error:
            raise Refused(error.faults) from None
