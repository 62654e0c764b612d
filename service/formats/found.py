"""What was found, told in the order it has to be dealt with.

Fails stand by element, the worst first: a web that buckles breaks several rules at once, and one brace mends them all. What is
said in the same words of one element after another is said once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from service.formats.layout import paint, wrapped
from service.formats.standing import heading
from service.formats.wording import Values, clause, number, place, provenance, quantity, source, utilisation
from service.units import in_us

INDENT = 9
RANK = {"error": 0, "warning": 1, "note": 2}
AGAINST = (("fail", "FAILS"), ("open", "OPEN: COULD NOT BE DECIDED"), ("review", "FOR A PERSON TO LOOK AT"))
REMARKS = (("informational", "FOR INFORMATION"),)


def findings(
    report: Values, *, colour: bool = False, working: bool = True, sections: Sequence[tuple[str, str]] = (*AGAINST, *REMARKS)
) -> Iterator[str]:
    """Lines that show everything found but passes, or what of it stands in these sections. working: with the arithmetic of what fails."""
    for kind, title in sections:
        found = [finding for finding in report.get("findings") or [] if finding.get("kind") == kind]
        if found:
            yield ""
            yield f" {paint(f'{title} ({len(found)})', kind, colour)}"
        for group in _grouped(found):
            yield ""
            yield from _told(group, working)


def used(finding: Values) -> str:
    """How much of what is allowed a finding uses, or a dash where the rule has no such number."""
    value = finding.get("utilisation")
    return utilisation(value, exceeded=finding.get("kind") == "fail") if isinstance(value, int | float) else "–"


def headed(finding: Values) -> str:
    """Title and place, after how much of what is allowed is used where the rule has such a number."""
    share = f"{used(finding)} " if isinstance(finding.get("utilisation"), int | float) else ""
    return f"{share}{heading(finding)}"


def alike(found: Iterable[Values]) -> list[list[Values]]:
    """What was found, what is said in the same words of one element after another together, in the order of the first. What is waived
    stands by itself, and what is new does not stand with what was known."""
    groups: dict[object, list[Values]] = {}
    for finding in found:
        alone = finding.get("id") if finding.get("waiver") else finding.get("baseline_state")
        key = (*map(finding.get, ("kind", "level", "rule", "part", "title")), _said(finding), alone)
        groups.setdefault(key, []).append(finding)
    return list(groups.values())


def also(same: Sequence[Values], *, shares: bool = True) -> str:
    """The other elements of which a finding says the same: "the same: members W2 (0.51), W3"; nothing where there are none.

    shares: with how much of what is allowed each uses.
    """
    return f"the same: {', '.join(_by_kind(same[1:], shares))}" if len(same) > 1 else ""


def others(same: Sequence[Values]) -> str:
    """The same at the beginning of a line: "The same: W2 (0.51), W3"."""
    return also(same).replace("the same", "The same", 1)


def _grouped(found: Iterable[Values]) -> Iterable[list[Values]]:
    """What is told together: fails with a number by element and level, the rest by what is said; what is waived by itself."""
    groups: dict[object, list[Values]] = {}
    for finding in sorted(found, key=_weight):
        measured = finding.get("kind") == "fail" and finding.get("utilisation") is not None
        said = (finding.get("rule"), finding.get("part"), _said(finding))
        together = finding.get("id") if finding.get("waiver") else _element(finding) if measured else said
        groups.setdefault((finding.get("level"), measured, together), []).append(finding)
    return groups.values()


def _weight(finding: Values) -> tuple[bool, int, float]:
    """Order: waived last, then by level, then fails by how far they go over; the report's own order where these are equal."""
    over = finding.get("utilisation") or 0.0 if finding.get("kind") == "fail" else 0.0
    return bool(finding.get("waiver")), RANK.get(str(finding.get("level")), 0), -over


def _said(finding: Values) -> str:
    """The message with the element's name left out, so that the same said of two elements compares equal."""
    message, element = str(finding.get("message", "")), _element(finding)
    return re.sub(rf"(?<!\w){re.escape(element)}(?!\w)", "…", message) if element else message


def _element(finding: Values) -> str:
    where = finding.get("where") or {}
    return next((str(where[kind]) for kind in ("member", "joint", "node", "support", "brace") if where.get(kind) is not None), "")


def _told(group: Sequence[Values], working: bool) -> Iterator[str]:
    finding = group[0]
    part = f" ({finding['part']})" if finding.get("part") else ""
    yield from wrapped(f"{used(finding):>8} {place(finding.get('where') or {})}{part}: {finding.get('title', '')}", 0, hang=INDENT)
    yield from wrapped(str(finding.get("message", "")), INDENT)
    several = finding.get("kind") == "fail" and finding.get("utilisation") is not None
    if len(group) > 1 and not several:
        yield from wrapped(also(group), INDENT, hang=10)
    for label, words in _details(finding, working):
        yield from wrapped(f"{label}: {words}", INDENT, hang=len(label) + 2)
    for other in group[1:] if several else ():
        yield from wrapped(f"also not met: {_also(other)}", INDENT, hang=14)


def _by_kind(found: Iterable[Values], shares: bool) -> Iterator[str]:
    """Elements with the word for several of a kind before the first of them: "members W2 (0.51), W3", "support S1"."""
    kinds: dict[str, list[str]] = {}
    for finding in found:
        where = place({**(finding.get("where") or {}), "at_mm": None})
        kind, _, name = where.partition(" ") if "," not in where else ("", "", where)
        share = f" ({used(finding)})" if shares and finding.get("utilisation") is not None else ""
        kinds.setdefault(kind, []).append(f"{name}{share}")
    for kind, names in kinds.items():
        yield f"{kind}{'s' if kind and len(names) > 1 else ''} {', '.join(names)}".strip()


def loads(finding: Values) -> str:
    """The combination it was found under; nothing where its message says so already, in whichever units."""
    under, said = str(finding.get("combination") or ""), str(finding.get("message") or "")
    return "" if under in said or in_us(under) in said else under


def measured(finding: Values) -> str:
    """What was found and, where it was judged, what is allowed: a remark that tells a force allows and forbids nothing."""
    demand, limit = finding.get("demand"), finding.get("limit")
    judged = limit and finding.get("kind") in ("fail", "pass")
    return (quantity(demand) if demand else "") + (f", allowed {quantity(limit)}" if limit and judged else "")


def _also(finding: Values) -> str:
    cited = clause((finding.get("citations") or [{}])[0])
    part = f" ({finding['part']})" if finding.get("part") else ""
    return f"{used(finding)} {finding.get('title', '')}{part} [{cited}; {finding.get('rule', '')}{_since(finding)}]"


def _details(finding: Values, working: bool) -> Iterator[tuple[str, str]]:
    demand, limit = finding.get("demand"), finding.get("limit")
    if demand and (demand.get("unit") != "1" or not (_is_one(limit) or _counted(finding))):
        yield "found", measured(finding)
    if loads(finding):
        yield "loads", loads(finding)
    for step in finding.get("working") or [] if working and finding.get("kind") == "fail" else []:
        yield "working", _step(step)
    for citation in finding.get("citations") or []:
        yield "source", source(citation)
    for changed in finding.get("parameters") or []:
        yield "changed", f"{changed.get('symbol', '')}, {changed.get('what', '')}: {provenance(changed)}"
    if finding.get("remedies"):
        yield "what helps", "; ".join(str(remedy).rstrip(".") for remedy in finding["remedies"])
    if finding.get("waiver"):
        waiver = finding["waiver"]
        until = waiver.get("expires", "no day named")
        yield "waived", f"{waiver.get('reason', '')} ({waiver.get('approved_by', 'nobody named')}, until {until})"
    level = f", {finding['level']}" if finding.get("level") not in (None, "none") else ""
    yield "rule", f"{finding.get('rule', '')}{level}{_since(finding)}"


def _is_one(limit: Values | None) -> bool:
    return (limit or {}).get("value") == 1


def _counted(finding: Values) -> bool:
    """Whether the message tells both counts already, and which of them is wanted: "wants 4 trusses; it is spread over 2"."""
    words = set(re.findall(r"[\d.]*\d", str(finding.get("message") or "")))
    return {number((finding.get(name) or {}).get("value")) for name in ("demand", "limit")} <= words


def _since(finding: Values) -> str:
    return ", new since the baseline" if finding.get("baseline_state") == "new" else ""


def _step(step: Values) -> str:
    cited = f"  [{step['clause']}]" if step.get("clause") else ""
    shown = quantity({"value": step.get("value"), "unit": step.get("unit", "")})
    expression = f" = {step['expression']}" if step.get("expression") else ""
    return f"{step.get('symbol', '')}{expression} = {shown}{cited}"
