"""A pack, its clauses and one of its rules as pages to read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.formats.layout import table, wrapped
from service.formats.wording import number, source

Page = Mapping[str, Any]
STATES = {"judged": "judged", "notApplicable": "not applicable", "notImplemented": "not implemented"}


def pack_lines(page: Page) -> Iterator[str]:
    """A pack: what it is, its rules, what it does not cover."""
    yield f" {page['id']}: {page['title']}"
    yield from wrapped(str(page.get("what") or ""), 3)
    for name in ("document", "edition", "release", "layer", "tradition", "digest"):
        if page.get(name):
            yield from wrapped(f"{name:<10} {page[name]}", 3, hang=11)
    yield from wrapped(f"in force   {_days(page)}, in {', '.join(page['regions'])}", 3, hang=11)
    yield ""
    rows = [(rule["slug"] + (f" ({rule['part']})" if rule["part"] else ""), rule["title"]) for rule in page["rules"]]
    if rows:
        yield from table(("rule", "what it asks"), (38, 58), rows)
        yield ""
        yield f" A rule in full: birdsmouth packs show {page['id']}/{page['rules'][0]['slug']}"
    else:
        yield " No rules of its own: it gives values or grades to other packs."
    if page["not_covered"]:
        yield ""
        yield " Does not cover:"
        yield from (f"   · {item}" for item in page["not_covered"])


def _days(page: Page) -> str:
    since, until = page.get("starts"), page.get("ends")
    return f"from {since or 'ever'} until {until or 'further notice'}" if since or until else "always"


def clause_lines(page: Page) -> Iterator[str]:
    """A pack's clauses and what becomes of each."""
    yield f" {page['id']}: {page['document']}, {page['edition']}, by clause"
    yield ""
    rows = [(each["clause"], each["what"], STATES[each["state"]], _why(each)) for each in page["clauses"]]
    yield from table(("clause", "what", "state", "by which rules, or why not"), (20, 28, 15, 30), rows)
    counts = {state: sum(each["state"] == state for each in page["clauses"]) for state in STATES}
    yield ""
    yield " " + ", ".join(f"{count} {STATES[state]}" for state, count in counts.items()) + "."


def _why(clause: Page) -> str:
    return ", ".join(clause["judged_by"]) or str(clause["because"] or "")


def rule_lines(page: Page) -> Iterator[str]:
    """One rule in full: what it judges and why, where it applies, its formula, its numbers, its examples."""
    yield from wrapped(f"{page['id']}: {page['title']}", 1, hang=2)
    yield from wrapped(str(page["why"]), 3)
    mandatory = ", mandatory" if page["mandatory"] else ""
    yield f"   looks at each {page['scope']}; {page['purpose']}; {page['severity']}{mandatory}; {page['how']}"
    for cited in page["citations"]:
        yield from wrapped(f"source: {_read_where(cited)}", 3, hang=8)
    for judgement in page["judgements"]:
        yield ""
        yield from _judgement(judgement)
    yield from _listed("What helps:", page["remedies"])


def _judgement(judgement: Page) -> Iterator[str]:
    if judgement["part"]:
        yield from wrapped(f"{judgement['part']}: {judgement['title']}", 1, hang=2)
    yield from wrapped(judgement["in_words"], 1, hang=2)
    yield from _listed("Asked first:", [f"{each['when']}: {each['ask']}" for each in judgement["undecided"]])
    yield from _listed("How it is found:", [_formula(each) for each in judgement.get("formula") or []])
    yield from _listed("Numbers:", [_parameter(each) for each in judgement["parameters"]])
    yield from _listed("From the design and its analysis:", [_fact(each) for each in judgement["from_the_design"]])
    yield from _listed("Examples:", [_example(each) for each in judgement["examples"]])


def _listed(heading: str, items: list[str]) -> Iterator[str]:
    if items:
        yield ""
        yield f" {heading}"
        yield from (line for item in items for line in wrapped(f"· {item}", 2, hang=2))


def _formula(quantity: Page) -> str:
    cited = quantity.get("citation")
    return f"{quantity['symbol']} = {quantity['expression']}" + (
        f"  [{cited['clause']} {cited['equation'] or ''}".rstrip() + "]" if cited else ""
    )


def _parameter(value: Page) -> str:
    stands = f"by {', '.join(value['table']['by'])}" if value["table"] else number(value["value"])
    unit = "" if value["unit"] == "1" else f" {value['unit']}"
    return f"{value['name']}: {value['what']}: {stands}{unit} [{_read_where(value['citation'])}]"


def _read_where(citation: Page) -> str:
    """A source in full and, where it was read as somebody restates it, who does."""
    return f"{source(citation)} ({citation['source']})" if citation.get("source") else source(citation)


def _fact(fact: Page) -> str:
    return f"{fact['name']}: {fact['what']}" if fact.get("what") else str(fact["name"])


def _example(example: Page) -> str:
    given = ", ".join(f"{name} {number(value) if value is not None else 'not stated'}" for name, value in example["given"].items())
    return f"{example['expect']}: {example['name']} ({given})"
