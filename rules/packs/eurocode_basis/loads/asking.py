"""What cannot be worked out, as doubts; and what every load case here is made of."""

from __future__ import annotations

from rules.library import Derivation, Derived, Doubt, Given, Sheet
from rules.subject.actions import Action

LOADING = "/loading"


def open_doubt(part: str, message: str, ask: str, pointer: str = LOADING) -> Derived:
    """Nothing worked out, and the question that stands in the way."""
    return Derived(doubts=(Doubt(part, "open", message, ask, pointer),))


def one(action: Action, what: str, sheet: Sheet, *shown: str) -> Derived:
    """One load case, with the working of these quantities; none where nothing is loaded."""
    return Derived((Derivation(action, what, sheet.steps(*shown)),)) if action.loads else Derived()


def stated(name: str, symbol: str, unit: str, what: str, value: float) -> Given:
    """A number the design states."""
    return Given(name, symbol, unit, what, value)


def width(load_width_mm: float) -> Given:
    """The width that loads one component."""
    return stated("load_width", "b", "mm", "width that loads one component", load_width_mm)
