"""Values that are worked out when something first asks for them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any


@dataclass(frozen=True, eq=False)
class Later:
    """What most designs are never asked: worked out once, by whoever asks first. Never a value that varies with the combination, since parts of an
    axis are cut by these."""

    make: Callable[[], Any]

    @cached_property
    def value(self) -> Any:
        """As a given would hold it."""
        return self.make()
