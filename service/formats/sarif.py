"""A report as SARIF 2.1.0 (OASIS, errata 01): a run a design, packs as extensions of the tool, documents as taxonomies.

Every result has a physical location, since tools that read these files refuse a whole file for one result without. A report knows
places of a design as JSON pointers and no lines, so the pointer stands as logical location, and the line is 1 unless whoever has the
design's text has looked it up (service.formats.locating). Waivers are
suppressions; once one result carries that list all have to, so all do.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

import msgspec

from service.formats.locating import region
from service.formats.standing import UNNAMED, Reports, kind, level, shown, waived
from service.formats.wording import Values

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
TOOL, OWN = "birdsmouth", -1
_CARRIED = (
    "part",
    "combination",
    "utilisation",
    "demand",
    "limit",
    "working",
    "citations",
    "remedies",
    "decided_by",
    "message_id",
    "values",
    "parameters",
)


def render(report: Values, source: str | None = None) -> bytes:
    """One report as a SARIF log. source: the file its design came from, as a path below the root of the work tree."""
    return render_all(((report, source),))


def render_all(reports: Reports) -> bytes:
    """Several reports as one log, a run each, told apart by their automation ids."""
    return msgspec.json.encode({"$schema": SCHEMA, "version": "2.1.0", "runs": [_run(report, source) for report, source in reports]})


@dataclass(frozen=True, slots=True)
class _Index:
    """Where everything stands that results refer to. rules: rule → (extension, place); taxa: (document, edition, clause) → (taxonomy, place)."""

    packs: Mapping[str, int]
    rules: Mapping[str, tuple[int, int]]
    titles: Mapping[str, str]
    taxa: Mapping[tuple[str, str, str], tuple[int, int]]


def _run(report: Values, source: str | None) -> dict[str, Any]:
    found = shown(report)
    index, uri = _index(report, found), quote(source or UNNAMED, safe="/")
    receipt = report.get("receipt") or {}
    driver = {"name": TOOL, "semanticVersion": str(receipt.get("engine") or "0"), "rules": _rules(index, OWN)}
    extensions = [_extension(pack, index, place) for place, pack in enumerate(report.get("packs") or [])]
    told = {
        name: report.get(name) for name in ("reference", "title", "verdict", "summary", "assumptions", "not_checked", "cautions", "receipt")
    }
    return {
        "tool": {"driver": driver, "extensions": extensions},
        "automationDetails": {"id": f"{TOOL}/{uri}"},
        "invocations": [{"executionSuccessful": True}],
        "taxonomies": _taxonomies(index),
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, index, uri) for finding in found],
        "properties": told,
    }


def _index(report: Values, found: Iterable[Values]) -> _Index:
    packs = {str(pack.get("id")): place for place, pack in enumerate(report.get("packs") or [])}
    titles = {str(entry.get("rule")): "" for entry in report.get("coverage") or []}
    titles |= {str(finding.get("rule")): str(finding.get("title") or "") for finding in found}
    rules: dict[str, tuple[int, int]] = {}
    counts: dict[int, int] = {}
    for rule in sorted(titles):
        owner = packs.get(rule.partition("/")[0], OWN)
        rules[rule] = (owner, counts.setdefault(owner, 0))
        counts[owner] += 1
    return _Index(packs, rules, titles, _numbered(key for finding in found for key in _cited(finding)))


def _numbered(keys: Iterable[tuple[str, str, str]]) -> dict[tuple[str, str, str], tuple[int, int]]:
    documents: dict[tuple[str, str], list[tuple[str, str, str]]] = {}
    for key in sorted(set(keys)):
        documents.setdefault(key[:2], []).append(key)
    return {key: (at, place) for at, group in enumerate(documents.values()) for place, key in enumerate(group)}


def _cited(finding: Values) -> list[tuple[str, str, str]]:
    """Document, edition and clause of every citation that names a clause, each once."""
    cited = [each for each in finding.get("citations") or [] if each.get("clause") and each.get("document")]
    return list(dict.fromkeys((str(each["document"]), str(each.get("edition") or ""), str(each["clause"])) for each in cited))


def _extension(pack: Values, index: _Index, place: int) -> dict[str, Any]:
    told = {name: pack[name] for name in ("document", "edition", "digest", "selected_because") if pack.get(name)}
    release = str(pack.get("release") or "0")
    return {"name": str(pack.get("id")), "semanticVersion": release, "rules": _rules(index, place), "properties": told}


def _rules(index: _Index, owner: int) -> list[dict[str, Any]]:
    return [
        {"id": rule, **({"shortDescription": {"text": index.titles[rule]}} if index.titles[rule] else {}),
         "properties": {"page": f"/v1/rules/{quote(rule, safe='/')}"}}
        for rule, (holder, _) in index.rules.items() if holder == owner
    ]  # fmt: skip


def _taxonomies(index: _Index) -> list[dict[str, Any]]:
    made: dict[int, dict[str, Any]] = {}
    for (document, edition, clause), (at, _) in index.taxa.items():
        taxonomy = made.setdefault(at, {"name": document, **({"version": edition} if edition else {}), "taxa": []})
        taxonomy["taxa"].append({"id": clause})
    return list(made.values())


def _result(finding: Values, index: _Index, uri: str) -> dict[str, Any]:
    rule, identity = str(finding.get("rule")), str(finding.get("id"))
    accepted, state = waived(finding), finding.get("baseline_state")
    return {
        "ruleId": rule,
        "rule": _rule_reference(rule, index),
        "kind": kind(finding),
        "level": level(finding),
        "message": {"text": _plain(str(finding.get("message") or finding.get("title") or rule))},
        "locations": [_location(finding, uri)],
        "partialFingerprints": {"birdsmouthFinding/v1": identity, "primaryLocationLineHash": f"{identity}:1"},
        "taxa": [_taxon(key, index) for key in _cited(finding)],
        "suppressions": [{"kind": "external", "status": "accepted", "justification": accepted}] if accepted else [],
        **({"baselineState": state} if state in ("new", "unchanged") else {}),
        "properties": {name: finding[name] for name in _CARRIED if finding.get(name) not in (None, "", [], {})},
    }


def _rule_reference(rule: str, index: _Index) -> dict[str, Any]:
    owner, place = index.rules[rule]
    component = {} if owner == OWN else {"toolComponent": {"name": rule.partition("/")[0], "index": owner}}
    return {"id": rule, "index": place, **component}


def _taxon(key: tuple[str, str, str], index: _Index) -> dict[str, Any]:
    at, place = index.taxa[key]
    return {"id": key[2], "index": place, "toolComponent": {"name": key[0], "index": at}}


def _location(finding: Values, uri: str) -> dict[str, Any]:
    where, physical = finding.get("where") or {}, {"artifactLocation": {"uri": uri}, "region": region(finding)}
    names = [(word, str(where[word])) for word in ("member", "joint", "node", "support", "brace") if where.get(word) is not None]
    pointer = str(where.get("pointer") or "")
    logical = [{"name": name, "kind": word, **({"fullyQualifiedName": pointer} if pointer else {})} for word, name in names]
    return {"physicalLocation": physical, **({"logicalLocations": logical} if logical else {})}


def _plain(text: str) -> str:
    """The text with brackets escaped: SARIF reads [words](address) in a message as a link, and ids in it are the sender's."""
    return text.replace("\\", "\\\\").replace("[", "\\[").replace("]", "\\]")
