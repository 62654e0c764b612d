"""What is done between the steps of a check, at the wish of whoever asks for it: the core itself knows no clock and no caller."""

from __future__ import annotations

from collections.abc import Callable

Between = Callable[[], object]
"""Called between steps, none of which takes long. What it raises ends the whole check, with nothing of it kept: it never runs where a
failure of a rule is told as an open judgement."""


def nothing() -> None:
    """Where nobody waits."""
