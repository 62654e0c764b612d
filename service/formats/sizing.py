"""A sizing document ("birdsmouth-sizing-1") for people: what to take, what was tried, and the report of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from service.formats import markdown as report_markdown
from service.formats import text as report_text
from service.formats.html import STYLE
from service.formats.layout import RULE, paint, table, wrapped
from service.formats.templating import fill_in
from service.formats.text import harmless
from service.formats.wording import Values, utilisation
from service.units import dressed

OUTCOMES = {"found": "pass", "nothing-passes": "fail", "not-found": "open"}
WIDTHS = (8, 36, 15, 34)


def text(sizing: Values, *, colour: bool = False) -> bytes:
    """UTF-8 text, 100 columns wide: the choice, those tried, then the report of the choice."""
    shown = harmless(sizing)
    pages = (_heading(shown, colour), _tried(shown), _cautions(shown))
    content = dressed(("\n".join(line.rstrip() for page in pages for line in page) + "\n").encode(), (sizing,))
    return content + (b"\n" + report_text.render(sizing["report"], colour=colour) if sizing["report"] else b"")


def markdown(sizing: Values) -> bytes:
    """UTF-8 Markdown, the report of the choice after it."""
    content = dressed(fill_in("sizing.md", sizing=harmless(sizing), made=made, outcome=outcome, cost=cost), (sizing,))
    return content + (b"\n" + report_markdown.render(sizing["report"]) if sizing["report"] else b"")


def html(sizing: Values) -> bytes:
    """One HTML page in UTF-8 that needs nothing else."""
    filled = fill_in("sizing.html", sizing=harmless(sizing), made=made, outcome=outcome, cost=cost, style=STYLE, verdicts=OUTCOMES)
    return dressed(filled, (sizing,))


def made(row: Values) -> str:
    """What a choice is: "rafters: 45x120 C24; tie: 2 × 45x97 C24; at 600 mm"."""
    groups = [f"{group['name']}: {_plies(group)}{group['stock']}" for group in row["groups"]]
    return "; ".join([*groups, *([f"at {row['spacing_mm']:g} mm"] if row["spacing_mm"] is not None else [])])


def outcome(row: Values) -> str:
    """What became of it: "fail 1.17", "pass 0.94, 2 lesser fails"."""
    word = str(row["verdict"] or "refused")
    stopped = row["stopped_by"]
    share = stopped["utilisation"] if stopped else row["most_used"]
    said = f"{word} {utilisation(share, exceeded=share > 1.0)}" if isinstance(share, int | float) else word
    return f"{said}, {row['lesser']} lesser fail{'s' if row['lesser'] > 1 else ''}" if row["lesser"] else said


def cost(row: Values) -> str:
    """What it costs, to four digits."""
    return f"{row['cost']:.4g}"


def _plies(group: Values) -> str:
    return f"{group['plies']} × " if group["plies"] else ""


def _heading(sizing: Values, colour: bool) -> Iterator[str]:
    yield RULE
    yield f" SIZING of {sizing['reference']}"
    yield RULE
    word = {"found": "FOUND", "nothing-passes": "NOTHING PASSES", "not-found": "NOT FOUND"}[sizing["outcome"]]
    yield from wrapped(f"{paint(word, OUTCOMES[sizing['outcome']], colour)}  {sizing['in_words']}", 1, hang=2)
    shown: dict[str, Any] | None = sizing["best"] or sizing["nearest"]
    if shown:
        yield from wrapped(f"{made(shown)}: {outcome(shown)}, {cost(shown)} {_unit(sizing)}", 6, hang=2)


def _unit(sizing: Values) -> str:
    unit = sizing["cost"]["unit"]
    return f"of cost for {sizing['cost']['of']}" if unit.startswith("1") else f"m³ for {sizing['cost']['of']}"


def _tried(sizing: Values) -> Iterator[str]:
    yield ""
    yield f" TRIED, the cheapest first ({_unit(sizing)})"
    rows = [(cost(row), made(row), outcome(row), _why(row)) for row in sizing["tried"]]
    yield from table(("cost", "choice", "outcome", "stopped by"), WIDTHS, rows)


def _why(row: Values) -> str:
    stopped = row["stopped_by"]
    if not stopped:
        return "–"
    about = f", {stopped['member']}" if stopped["member"] else ""
    others = f" and {row['stopping'] - 1} more" if row["stopping"] > 1 else ""
    return f"{stopped['rule']}{about}{others}" if stopped["rule"] else str(stopped["message"])


def _cautions(sizing: Values) -> Iterator[str]:
    yield ""
    yield " CAUTIONS"
    for item in sizing["cautions"]:
        yield from wrapped(f"· {item}", 2, hang=2)
