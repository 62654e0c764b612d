"""What was judged and what was not: rule by rule, and clause by clause of the documents the packs restate."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from rules.judge.deciding import Decided
from rules.library.choosing import Selection
from rules.library.clauses import Clause, clauses_of
from rules.library.rule import Kind

Document = dict[str, Any]
KINDS = (Kind.FAIL, Kind.OPEN, Kind.REVIEW, Kind.INFORMATIONAL, Kind.NOT_APPLICABLE, Kind.PASS)
NOTHING_SAID = {str(kind): 0 for kind in KINDS}
SPOKE = (Kind.FAIL, Kind.REVIEW, Kind.INFORMATIONAL, Kind.PASS)


def by_rule(decided: Iterable[Decided]) -> list[Document]:
    """How often each rule said what, and why it said nothing."""
    rows: dict[str, Document] = {}
    for each in decided:
        j = each.judgement
        name = j.rule.id
        row = rows.get(name) or rows.setdefault(name, {"rule": name, **NOTHING_SAID, "because": {}})
        row[j.kind] += 1
        if j.kind is Kind.NOT_APPLICABLE:
            row["because"][j.because] = row["because"].get(j.because, 0) + 1
    return [rows[name] for name in sorted(rows)]


def by_clause(selection: Selection, rules: Iterable[Document]) -> list[Document]:
    """Every clause of every pack in force: judged, open, not applicable and why, or not implemented."""
    told = {row["rule"]: row for row in rules}
    return [_clause(chosen.pack.id, clause, told) for chosen in selection.packs for clause in clauses_of(chosen.pack)]


def _clause(pack: str, clause: Clause, told: Mapping[str, Document]) -> Document:
    ran = [told[f"{pack}/{slug}"] for slug in clause.judged_by if f"{pack}/{slug}" in told]
    because = [clause.because] if clause.because else list(dict.fromkeys(why for row in ran for why in row["because"]))
    state = clause.state if clause.state != "judged" else _state(ran)
    return {
        "pack": pack,
        "clause": clause.clause,
        "what": clause.what,
        "state": state,
        "because": [] if state in ("judged", "open") else because or ["none of its rules was asked"],
        "rules": [f"{pack}/{slug}" for slug in clause.judged_by],
    }


def _state(ran: Iterable[Document]) -> str:
    """What its rules said between them."""
    rows = list(ran)
    if any(row[str(kind)] for row in rows for kind in SPOKE):
        return "judged"
    return "open" if any(row[str(Kind.OPEN)] for row in rows) else "notApplicable"
