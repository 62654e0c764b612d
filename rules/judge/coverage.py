"""What was judged and what was not: rule by rule, and clause by clause of the documents the packs restate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from rules.judge.deciding import Decided
from rules.library.choosing import Selection
from rules.library.clauses import Clause, clauses_of
from rules.library.rule import Kind

Document = dict[str, Any]
KINDS = (Kind.FAIL, Kind.OPEN, Kind.REVIEW, Kind.INFORMATIONAL, Kind.NOT_APPLICABLE, Kind.PASS)
NOTHING_SAID = {str(kind): 0 for kind in KINDS}
SPOKE = tuple(kind.value for kind in (Kind.FAIL, Kind.REVIEW, Kind.INFORMATIONAL, Kind.PASS))


def by_rule(decided: Iterable[Decided]) -> list[Document]:
    """How often each rule said what, and why it said nothing."""
    said = Counter([(j.rule.id, j.kind, j.because) for j, *_ in decided])
    rows: dict[str, Document] = {name: {"rule": name, **NOTHING_SAID, "because": {}} for name in sorted({name for name, _, _ in said})}
    for (name, kind, because), times in said.items():
        rows[name][kind] += times
        if kind is Kind.NOT_APPLICABLE:
            rows[name]["because"][because] = times
    return list(rows.values())


def by_clause(selection: Selection, rules: Iterable[Document]) -> list[Document]:
    """Every clause of every pack in force: judged, open, not applicable and why, or not implemented."""
    told = {row["rule"]: row for row in rules}
    return [_clause(chosen.pack.id, clause, told) for chosen in selection.packs for clause in clauses_of(chosen.pack)]


def _clause(pack: str, clause: Clause, told: Mapping[str, Document]) -> Document:
    rules = [f"{pack}/{slug}" for slug in clause.judged_by]
    ran = [told[name] for name in rules if name in told]
    because = [clause.because] if clause.because else list(dict.fromkeys(why for row in ran for why in row["because"]))
    state = clause.state if clause.state != "judged" else _state(ran)
    return {
        "pack": pack,
        "clause": clause.clause,
        "what": clause.what,
        "state": state,
        "because": [] if state in ("judged", "open") else because or ["none of its rules was asked"],
        "rules": rules,
    }


def _state(ran: Sequence[Document]) -> str:
    """What its rules said between them."""
    said = {kind for row in ran for kind in (*SPOKE, "open") if row[kind]}
    if said.intersection(SPOKE):
        return "judged"
    return "open" if said else "notApplicable"
