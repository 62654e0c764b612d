"""declared/*.yaml."""

from __future__ import annotations

from collections.abc import Sequence

from rules.library.declared import DeclaredRule
from rules.library.value import Value
from rules.library.yaml_source import Source


def read_declared(sources: Sequence[Source], pack: str, values: tuple[Value, ...], *, forgiving: bool) -> tuple[DeclaredRule, ...]:
    return ()
