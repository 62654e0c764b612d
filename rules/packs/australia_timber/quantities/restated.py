"""Clauses of AS 1720.1 that were read in what restates them."""

from __future__ import annotations

from rules.library import Citation, clause

SOURCE = "an open module of AS 1720.1:2010 naming the clauses, no stable address"


def restated(where: str) -> Citation:
    """Cite a clause as read there, not in the standard itself."""
    return clause(where, seen="read", source=SOURCE)
