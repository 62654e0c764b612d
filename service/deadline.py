"""How long one request may take. The clock is asked between steps, by the edge on behalf of the core; passing the deadline ends the whole request."""

from __future__ import annotations

import time
from dataclasses import dataclass

from rules.subject.faults import BirdsmouthError


class DeadlinePassed(BirdsmouthError):
    """The request took longer than it may. Nothing of it is answered."""


@dataclass(frozen=True, slots=True)
class Deadline:
    """A moment on the monotonic clock, in seconds; infinity: none."""

    ends_at: float = float("inf")

    @classmethod
    def after(cls, seconds: float) -> Deadline:
        """The moment this many seconds from now."""
        return cls(time.monotonic() + seconds)

    def left(self) -> float:
        """Seconds left. Raises DeadlinePassed when there are none."""
        left = self.ends_at - time.monotonic()
        if left <= 0.0:
            raise DeadlinePassed("the deadline has passed")
        return left
