"""Numbers and places as a builder reads them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

from rules.judge.judgement import Judgement
from rules.library.rule import Kind, Rule

SHOWN_AS = {"N": ("kN", 1e-3), "N·mm": ("kNm", 1e-6), "mm": ("mm", 1.0), "1": ("1", 1.0)}
"""Unit of a quantity inside -> unit and factor in a report."""


def shown(value: float, unit: str) -> tuple[float, str]:
    """A quantity in the unit a report uses."""
    name, factor = SHOWN_AS.get(unit, (unit, 1.0))
    return value * factor, name


def amount(value: float, unit: str, digits: int = 3) -> str:
    """ "3.22 kN"; enough digits to read, never scientific."""
    number, name = shown(value, unit)
    places = max(0, digits - 1 - math.floor(math.log10(abs(number)))) if number else 0
    text = f"{number:.{min(places, 6)}f}"
    return text if name == "1" else f"{text} {name}"


def percent(utilisation: float, *, fails: bool) -> str:
    """A share of what is allowed. A fail never reads 100 %, a pass never reads more."""
    share = 100.0 * utilisation
    for places in range(12):
        text = f"{share:.{places}f}"
        if fails == (float(text) > 100.0) or (not fails and float(text) <= 100.0):
            return f"{text} %"
    return f"{share!r} %"


def message(judgement: Judgement, combination: str | None) -> str:
    """The rule's sentence with this judgement's numbers; an open one says what must be answered."""
    if judgement.kind is Kind.OPEN:
        return _open(judgement, combination)
    if judgement.kind is Kind.NOT_APPLICABLE:
        return f"{_element(judgement)} {judgement.because}."
    return judgement.message or _filled(judgement, combination)


def _open(judgement: Judgement, combination: str | None) -> str:
    said = judgement.message or f"{_element(judgement)} not decided: {judgement.rule.title[0].lower()}{judgement.rule.title[1:]}."
    if isinstance(judgement.rule, Rule) and judgement.demand is not None and judgement.limit is None and judgement.rule.demand.unit != "1":
        said = _filled(judgement, combination) if "{limit}" not in judgement.rule.message else _without_limit(judgement)
    return " ".join([said, *_once(judgement.asks)])


def _once(asks: Sequence[str]) -> Iterator[str]:
    """Every question but those that another one asks as well."""
    yield from (ask for ask in dict.fromkeys(asks) if not any(ask != other and ask in other for other in asks))


def _without_limit(judgement: Judgement) -> str:
    assert isinstance(judgement.rule, Rule)
    assert judgement.demand is not None
    return f"{_element(judgement)} {amount(judgement.demand, judgement.rule.demand.unit)} is found, and what is allowed is not known."


def _element(judgement: Judgement) -> str:
    return (
        f"{judgement.element_id}:"
        if judgement.element_kind == "member"
        else f"{judgement.element_kind.capitalize()} {judgement.element_id}:"
    )


def _filled(judgement: Judgement, combination: str | None) -> str:
    rule = judgement.rule
    if not isinstance(rule, Rule):
        return judgement.message
    return rule.message.format_map({name: BRACES[name](judgement, rule, combination) for name in rule.named})


BRACES: Mapping[str, Callable[[Judgement, Rule, str | None], str]] = {
    "element": lambda told, _rule, _: told.element_id,
    "percent": lambda told, _rule, _: "" if told.utilisation is None else percent(told.utilisation, fails=told.kind is Kind.FAIL),
    "demand": lambda told, rule, _: "" if told.demand is None else amount(told.demand, rule.demand.unit),
    "limit": lambda told, rule, _: "" if told.limit is None else amount(told.limit, rule.limit.unit),
    "at": lambda told, _rule, _: _at(told),
    "combination": lambda _told, _rule, combination: combination or "",
}
"""What stands for each name in the braces of a message."""


def _at(judgement: Judgement) -> str:
    if judgement.spot is not None:
        return judgement.spot.words
    return "" if judgement.at_mm is None else f"{judgement.at_mm:.0f} mm from its first node"
