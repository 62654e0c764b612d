"""How many checks a process takes at a time: one calculates, a few wait, the rest are told to come back."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from service.deadline import Deadline, DeadlinePassed
from service.problems import KINDS, Problem, Refusal


class Room:
    """One calculation at a time, `waiting` more in line. The interpreter runs one at a time anyway; a short line keeps answers quick."""

    def __init__(self, waiting: int) -> None:
        self._inside = threading.BoundedSemaphore(1 + waiting)
        self._turn = threading.Lock()

    @contextmanager
    def enter(self, deadline: Deadline) -> Iterator[None]:
        """Wait for the turn. Raises Refusal (too-busy) when the line is full, DeadlinePassed when the turn does not come in time."""
        with self.place(), self.turn(deadline):
            yield

    @contextmanager
    def place(self) -> Iterator[None]:
        """A place in the line, for one turn or, in a batch, for one after another. Raises Refusal (too-busy) when the line is full."""
        if not self._inside.acquire(blocking=False):
            raise Refusal(Problem(KINDS["too-busy"], "Too many checks are waiting.", headers={"Retry-After": "1"}))
        try:
            yield
        finally:
            self._inside.release()

    @contextmanager
    def turn(self, deadline: Deadline) -> Iterator[None]:
        """One calculation, for whoever has a place. Raises DeadlinePassed when the turn does not come in time."""
        if not self._turn.acquire(timeout=min(deadline.left(), threading.TIMEOUT_MAX)):
            raise DeadlinePassed("the turn did not come in time")
        try:
            yield
        finally:
            self._turn.release()
