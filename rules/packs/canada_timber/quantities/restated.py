"""Clauses of CSA O86 that were read in what restates them."""

from __future__ import annotations

from rules.library import Citation, clause

SOURCE = "an open library of CSA O86:19 in French, no stable address"
BEAMS = "an open library of CSA O86:19, its beams of glued laminated timber, no stable address"


def restated(where: str, source: str = SOURCE) -> Citation:
    """Cite a clause as read there, not in the document itself; clause numbers are those of the edition of 2014, from memory."""
    return clause(where, seen="read", source=source)
