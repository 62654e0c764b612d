"""What was judged and what was not: rule by rule, and clause by clause of the documents the packs restate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from operator import attrgetter
from typing import Any

from rules.judge.checked import JUDGEMENT, KINDS
from rules.judge.deciding import Decided
from rules.library.choosing import Selection
from rules.library.clauses import Clause
from rules.library.rule import Kind

Document = dict[str, Any]
NOTHING_SAID = {str(kind): 0 for kind in KINDS}
SPOKE = tuple(kind.value for kind in (Kind.FAIL, Kind.REVIEW, Kind.INFORMATIONAL, Kind.PASS))


def by_rule(decided: Iterable[Decided]) -> list[Document]:
    """How often each rule said what, and why it said nothing."""
    told = list(map(JUDGEMENT, decided))
    said = Counter(zip(map(attrgetter("rule.id"), told), map(attrgetter("kind"), told), map(attrgetter("because"), told), strict=True))
    rows: dict[str, Document] = {name: {"rule": name, **NOTHING_SAID, "because": {}} for name in sorted({name for name, _, _ in said})}
    for (name, kind, because), times in said.items():
        rows[name][kind] += times
        if kind is Kind.NOT_APPLICABLE:
            rows[name]["because"][because] = times
    return list(rows.values())


def by_clause(selection: Selection, rules: Iterable[Document]) -> list[Document]:
    """Every clause of every pack in force: judged, open, not applicable and why, or not implemented."""
    told = {row["rule"]: (_state(row), row["because"]) for row in rules}
    return [_clause(*each, told) for each in selection.clauses]


def _clause(pack: str, clause: Clause, rules: Sequence[str], told: Mapping[str, tuple[str, Iterable[str]]]) -> Document:
    """told: of every rule that was asked what it says between all it was asked of, and why it said nothing."""
    ran = [told[name] for name in rules if name in told]
    state = clause.state if clause.state != "judged" else max((said for said, _ in ran), key=SAID.index, default=SAID[0])
    return {
        "pack": pack,
        "clause": clause.clause,
        "what": clause.what,
        "state": state,
        "because": [] if state in ("judged", "open") else _because(clause, ran),
        "rules": list(rules),
    }


def _because(clause: Clause, ran: Iterable[tuple[str, Iterable[str]]]) -> list[str]:
    """Why it is not judged."""
    if clause.because:
        return [clause.because]
    return list(dict.fromkeys(why for _, because in ran for why in because)) or ["none of its rules was asked"]


SAID = ("notApplicable", "open", "judged")
"""What a rule, and a clause, comes to: the last of those that hold."""


def _state(row: Document) -> str:
    """What a rule said, of all it was asked of."""
    return "judged" if any(map(row.__getitem__, SPOKE)) else "open" if row["open"] else "notApplicable"
