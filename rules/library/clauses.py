"""clauses.yaml: which clauses of its document a pack judges, which say nothing of what it judges, and which it leaves out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from rules.library.pack_schemas import ClauseShape
from rules.library.shaping import shaped
from rules.library.yaml_source import Source

if TYPE_CHECKING:
    from rules.library.declared import DeclaredRule
    from rules.library.pack import Pack
    from rules.library.rule import Rule


@dataclass(frozen=True, slots=True)
class Clause:
    """One clause, or several that go together. state: "judged", "notApplicable" or "notImplemented"; judged_by: slugs of rules of the
    pack; because: why it is not judged."""

    clause: str
    what: str
    state: str
    judged_by: tuple[str, ...] = ()
    because: str = ""


def read_clauses(source: Source, slugs: Iterable[str]) -> tuple[Clause, ...]:
    """Every entry that can be read; what is wrong stands in source.faults. slugs: the rules the pack has."""
    if not isinstance(source.data, list):
        if source.data is not None:
            source.fault((), "clauses.yaml is a list of entries, each beginning with `- clause:`")
        return ()
    known = set(slugs)
    said = [(i, entry) for i in range(len(source.data)) if (entry := shaped(source, ClauseShape(), (i,))) is not None]
    for i, entry in said:
        _strangers(source, i, entry["judged_by"], known)
        if any(entry["clause"] == other["clause"] for k, other in said if k < i):
            source.fault((i, "clause"), f"{entry['clause']} stands twice")
    return tuple(_clause(entry) for _, entry in said)


def _strangers(source: Source, i: int, judged_by: Sequence[str], known: set[str]) -> None:
    for k, slug in enumerate(judged_by):
        if slug not in known:
            source.fault((i, "judged_by", k), f"the pack has no rule {slug}", "known: " + ", ".join(sorted(known)))


def _clause(said: dict[str, Any]) -> Clause:
    states = {"judged": said["judged_by"], "notApplicable": said["not_applicable"], "notImplemented": said["not_implemented"]}
    state = next(name for name, given in states.items() if given)
    because = said["not_applicable"] or said["not_implemented"] or ""
    return Clause(said["clause"], said["what"], state, tuple(said["judged_by"]), because)


def clauses_of(pack: Pack) -> tuple[Clause, ...]:
    """The pack's own list; of a pack without one, the clauses its rules cite."""
    return pack.clauses or tuple(_cited(pack))


def _cited(pack: Pack) -> Iterator[Clause]:
    rules: list[Rule | DeclaredRule] = [*pack.rules, *pack.declared]
    for where in dict.fromkeys(rule.cites.clause for rule in rules):
        beside = [rule for rule in rules if rule.cites.clause == where]
        yield Clause(where, beside[0].title, "judged", tuple(dict.fromkeys(rule.slug for rule in beside)))


def unlisted(pack: Pack) -> tuple[str, ...]:
    """Rules that stand beside no clause of the pack's own list."""
    listed = {slug for clause in pack.clauses for slug in clause.judged_by}
    slugs = [*(rule.slug for rule in pack.rules), *(rule.slug for rule in pack.declared)]
    return tuple(slug for slug in dict.fromkeys(slugs) if pack.clauses and slug not in listed)
