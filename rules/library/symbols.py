"""What the names in a formula stand for and how they are printed; numbers and quantities as entries of a page."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from rules.library.given_words import GIVEN
from rules.library.loading import Library
from rules.library.pack import Pack
from rules.library.quantity import ONE, Quantity
from rules.library.value import Interval, Key, Value

Page = dict[str, Any]


class Symbols:
    """Everything a formula of this pack may name, from the pack and all it builds on."""

    def __init__(self, library: Library, pack: Pack) -> None:
        packs = [library.pack(id) for id in library.closure([pack.id])]
        self.book = {quantity.name: quantity for each in packs for quantity in each.quantities} | {"ONE": ONE}
        self.values = {value.name: value for each in packs for value in each.values if value.overrides is None}
        self.printed = {name: word.symbol for name, word in GIVEN.items()}
        self.printed |= {name: value.symbol for name, value in self.values.items()}
        self.printed |= {name: quantity.symbol for name, quantity in self.book.items()}
        self.reference = {each.name: each for other in packs for each in other.reference}
        self.printed |= {name: each.symbol for name, each in self.reference.items()}

    def symbol(self, name: str) -> str:
        """As printed; of a word that names nothing, the word."""
        return self.printed.get(name, name)

    def walk(self, names: Iterable[str]) -> list[str]:
        """Every name below these, needs before what needs them."""
        met: dict[str, None] = {}

        def visit(name: str) -> None:
            if name not in met:
                for need in self.needs(name):
                    visit(need)
                met.setdefault(name)

        for name in names:
            visit(name)
        return list(met)

    def given(self, name: str) -> Page:
        """What is no formula and no number of a pack: a value of the grade, or something of the frame and its forces."""
        told = self.reference.get(name) or GIVEN.get(name)
        if told is None:
            return {"name": name, "what": "", "unit": None, "ask": None}
        return {"name": name, "what": f"{told.symbol}, {told.what}" if told.unit else told.what, "unit": told.unit or None, "ask": None}

    def needs(self, name: str) -> tuple[str, ...]:
        if name in self.book:
            return self.book[name].needs
        table = self.values[name].table if name in self.values else None
        return table.by if table else ()


def quantity_entry(quantity: Quantity, symbols: Symbols) -> Page:
    """A quantity, its expression in printed symbols."""
    return {
        "name": quantity.name,
        "symbol": quantity.symbol,
        "unit": quantity.unit,
        "expression": quantity.expression(symbols.symbol),
        "needs": list(quantity.needs),
        "citation": quantity.cites.plain() if quantity.cites else None,
    }


def value_entry(value: Value) -> Page:
    """A number, word or table of a pack."""
    page: Page = {
        "name": value.name,
        "symbol": value.symbol,
        "unit": value.unit,
        "what": value.what,
        "value": value.number,
        "choices": list(value.choices) or None,
        "table": None,
        "starts": value.starts.isoformat() if value.starts else None,
        "ends": value.ends.isoformat() if value.ends else None,
        "overrides": value.overrides,
        "citation": value.cites.plain(),
    }
    if value.table is not None:
        rows = [{"keys": [_key(key) for key in keys], "result": result} for keys, result in value.table.rows]
        page["table"] = {"by": list(value.table.by), "rows": rows}
    return page


def _key(key: Key) -> str:
    if not isinstance(key, Interval):
        return "any" if key == "*" else key
    above = f"above {key.above:g}" if math.isfinite(key.above) else ""
    up_to = f"up to {key.up_to:g}" if math.isfinite(key.up_to) else ""
    return " ".join(each for each in (above, up_to) if each)
