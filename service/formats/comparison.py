"""A comparison document ("birdsmouth-comparison-1") for people: text of the terminal, Markdown, one page of HTML."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.formats.html import STYLE
from service.formats.layout import RULE, paint, table, wrapped
from service.formats.templating import fill_in
from service.formats.text import harmless
from service.formats.wording import Values, utilisation
from service.units import dressed

WORDS = {"notApplicable": "n/a", "informational": "info"}
MEMBER_WIDTH, RULE_WIDTH, WIDTH = 12, 26, 100


def text(comparison: Values, *, colour: bool = False) -> bytes:
    """UTF-8 text, 100 columns wide, ending in a line end. colour: with terminal colours; the words are the same without."""
    shown = harmless(comparison)
    pages = (_heading(shown, colour), _elements(shown), _rows(shown), _worst(shown, colour), _evidence(shown))
    content = "\n".join(line.rstrip() for page in pages for line in page) + "\n"
    return dressed(content.encode(), (comparison,))


def markdown(comparison: Values) -> bytes:
    """UTF-8 Markdown: tables of CommonMark with GitHub's extension."""
    return dressed(fill_in("comparison.md", comparison=harmless(comparison), element=element, cell=cell, most=most), (comparison,))


def html(comparison: Values) -> bytes:
    """One HTML page in UTF-8 that needs nothing else."""
    filled = fill_in("comparison.html", comparison=harmless(comparison), element=element, cell=cell, most=most, style=STYLE)
    return dressed(filled, (comparison,))


def element(row: Mapping[str, Any]) -> str:
    """What a row is about: "member TC1", "whole design"."""
    about = row["element"]
    return f"{about['kind']} {about['id']}" if about["id"] else "whole design"


def cell(told: Mapping[str, Any] | None) -> str:
    """Outcome and share of one side: "pass 0.62", "open", or a dash where it says nothing."""
    if told is None:
        return "–"
    word = WORDS.get(told["kind"], told["kind"]) + (" (waived)" if told.get("waived") else "")
    share = told.get("utilisation")
    return f"{word} {utilisation(share, exceeded=told['kind'] == 'fail')}" if isinstance(share, int | float) else str(word)


def most(told: Mapping[str, Any] | None) -> str:
    """What uses most on one side: "0.62 bending", "1.24 compression, not met"."""
    if told is None:
        return "–"
    part = f" ({told['part']})" if told["part"] else ""
    fails = told["kind"] == "fail"
    return f"{utilisation(told['utilisation'], exceeded=fails)} {told['rule'].partition('/')[2]}{part}{', not met' if fails else ''}"


def _names(comparison: Values) -> list[str]:
    return [side["name"] for side in comparison["sides"]]


def _heading(comparison: Values, colour: bool) -> Iterator[str]:
    yield RULE
    yield f" COMPARISON of {len(comparison['sides'])} sides"
    yield RULE
    for side in comparison["sides"]:
        packs = ", ".join(f"{pack['id']} {pack['edition']}" for pack in side["packs"])
        renamed = "; ".join(f"{grade} is {named}" for grade, named in side["grades"].items())
        yield from wrapped(f"{paint(side['verdict'].upper(), side['verdict'], colour)}  {side['name']}: {side['reference']}", 1, hang=2)
        yield from wrapped(f"tradition {side['tradition'] or 'none'}, as of {side['receipt']['as_of']}: {packs}", 6, hang=2)
        if renamed:
            yield from wrapped(f"grades: {renamed}", 6, hang=2)


def _elements(comparison: Values) -> Iterator[str]:
    if comparison["elements"]:
        yield ""
        yield " WHAT USES MOST OF EACH ELEMENT, OF WHAT COULD BE DECIDED"
        names = _names(comparison)
        width = max(10, (WIDTH - MEMBER_WIDTH - 4 - 2 * len(names)) // len(names))
        rows = [(element(row), *map(most, row["cells"])) for row in comparison["elements"]]
        yield from table(("element", *names), (MEMBER_WIDTH, *(width,) * len(names)), rows)


def _rows(comparison: Values) -> Iterator[str]:
    yield ""
    yield f" CHECK BY CHECK ({comparison['left_out']} rows left out where every side passes)"
    names = _names(comparison)
    width = max(8, (WIDTH - MEMBER_WIDTH - RULE_WIDTH - 4 - 2 * len(names)) // len(names))
    rows = [
        (element(row), row["rule"] + (f" ({row['part']})" if row["part"] else ""), *map(cell, row["cells"])) for row in comparison["rows"]
    ]
    yield from table(("element", "rule", *names), (MEMBER_WIDTH, RULE_WIDTH, *(width,) * len(names)), rows)


def _worst(comparison: Values, colour: bool) -> Iterator[str]:
    """What fails, in words, side by side."""
    for index, side in enumerate(comparison["sides"]):
        failed = [row["cells"][index] for row in comparison["rows"] if row["cells"][index] and row["cells"][index]["kind"] == "fail"]
        if failed:
            yield ""
            yield f" {paint('FAILS', 'fail', colour)} UNDER {side['name']}"
            for told in failed:
                yield from wrapped(f"· {told['message']} [{told['rule']}]", 2, hang=2)


def _evidence(comparison: Values) -> Iterator[str]:
    yield ""
    yield " CAUTIONS"
    for item in comparison["cautions"]:
        yield from wrapped(f"· {item}", 2, hang=2)
    for side in comparison["sides"]:
        yield ""
        yield from wrapped(f"NOT CHECKED UNDER {side['name']}: {'; '.join(side['not_checked'])}.", 1, hang=2)
    yield RULE
