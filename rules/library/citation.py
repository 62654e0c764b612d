"""Where a rule or number comes from, and how far we have seen it with our own eyes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

Seen = Literal["read", "memory", "practice"]
"""read: on the page named by `source`; memory: remembered, not read; practice: common practice, no published source."""


@dataclass(frozen=True, slots=True)
class Citation:
    """One place in one document. document and edition are None in a pack's own files: the pack fills them in."""

    clause: str
    equation: str | None = None
    seen: Seen = "memory"
    document: str | None = None
    edition: str | None = None
    source: str | None = None

    def within(self, document: str, edition: str) -> Citation:
        """The same place, in the pack's document unless it names one of its own."""
        return self if self.document else replace(self, document=document, edition=edition)

    def plain(self) -> dict[str, str | None]:
        """As plain data, the way reports and the catalogue print it."""
        return {
            "document": self.document,
            "edition": self.edition,
            "clause": self.clause,
            "equation": self.equation,
            "seen": self.seen,
            "source": self.source,
        }

    def place(self) -> str:
        """Where it stands: "EN 338 2016, Table 1"."""
        document, inside = " ".join(filter(None, (self.document, self.edition))), " ".join(filter(None, (self.clause, self.equation)))
        return ", ".join(filter(None, (document, inside)))

    def words(self) -> str:
        """The citation in one line: "EN 338 2016, Table 1 (read: …)"."""
        seen = {"read": "read", "memory": "from memory", "practice": "common practice, no published source"}[self.seen]
        return f"{self.place()} ({seen}{': ' + self.source if self.source else ''})"


def clause(where: str, *, equation: str | None = None, seen: Seen = "memory", source: str | None = None) -> Citation:
    """Cite a clause of the pack's own document: clause("6.2.3", equation="(6.17)", seen="read")."""
    return Citation(where, equation, seen, source=source)
