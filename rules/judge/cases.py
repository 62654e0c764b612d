"""What the code in force says of each action: duration, ψ; then every combination that can act."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rules.library.choosing import Selection
from rules.library.value import Value
from rules.subject.actions import DURATIONS, Action
from rules.subject.design import Design
from rules.subject.faults import DesignRefused, Fault, TooManyCombinations, pointer
from rules.subject.settled import Assumption, CombinationSet, SettledAction

SELF_WEIGHT = "self-weight"
SETTLEMENT = "settlement"
PSI = ("psi_0", "psi_1", "psi_2")
"""Tables of combination factors; a code that combines without them has none, and asks no question about them."""
RESERVED = (SELF_WEIGHT, SETTLEMENT)
"""Cases the service adds itself; no action of the document may take their names."""
SURELY = "self_weight_surely"
"""The value of a code pack that says which share of the timber's mean weight is surely there."""


def settle_actions(design: Design, values: Mapping[str, Value]) -> tuple[SettledAction, ...]:
    """One per solver case: self-weight first when it is added, the document's in order, settlement of supports last if any.

    Of the self-weight that share is surely there which the code in force says light timber weighs; all of it where none does.
    """
    actions = list(design.actions)
    if design.self_weight:
        surely = values[SURELY].number if SURELY in values else None
        least = float(surely) if isinstance(surely, (int, float)) else 1.0
        actions.insert(0, Action(id=SELF_WEIGHT, nature="permanent", duration="permanent", least_share=least))
    if settles(design):
        actions.append(Action(id=SETTLEMENT, nature="permanent", duration="permanent"))
    said = Said(values, design.site.altitude_m)
    return tuple(_settle(action, design, said) for action in actions)


def briefer(design: Design, values: Mapping[str, Value]) -> dict[str, str]:
    """Durations of variable actions that the design says last less long than the code in force does."""
    said = Said(values, design.site.altitude_m)
    stated = {each.id: (each.duration, said.of("duration", each)) for each in design.actions if each.duration and not each.none_because}
    return {name: word for name, (word, code) in stated.items() if isinstance(code, str) and DURATIONS.index(word) > DURATIONS.index(code)}


def said_of_durations(design: Design, values: Mapping[str, Value]) -> list[Assumption]:
    """Word of them: timber carries more for it."""
    because = "The design says that these last less long than the code in force takes them to; timber carries more for it."
    said = briefer(design, values)
    return [Assumption("/actions", said, because, "engineer")] if said else []


def settles(design: Design) -> bool:
    """Whether any support is said to move by itself."""
    return any(support.settlement.x_mm or support.settlement.y_mm for support in design.supports)


@dataclass(frozen=True)
class Said:
    """What the code's tables say of a nature and category; looked up once for all actions alike."""

    values: Mapping[str, Value]
    altitude_m: float | None
    known: dict[tuple[str, str, str | None], float | str | None] = field(default_factory=dict)

    def of(self, name: str, action: Action) -> float | str | None:
        """The entry of table `name`; None where there is none, or what is not stated leaves it open."""
        key = (name, action.nature, action.category)
        if key not in self.known:
            self.known[key] = self._look_up(name, {"nature": action.nature, "category": action.category, "altitude_m": self.altitude_m})
        return self.known[key]

    def _look_up(self, name: str, keys: Mapping[str, str | float | None]) -> float | str | None:
        table = self.values[name].table if name in self.values else None
        return table.look_up([keys[key] for key in table.by]) if table else None


def _settle(action: Action, design: Design, said: Said) -> SettledAction:
    duration = action.duration or said.of("duration", action)
    variable = action.nature in ("imposed", "roof-imposed", "snow", "wind")
    psi = tuple(_number(said.of(name, action)) if variable else None for name in PSI)
    known = variable and any(name in said.values for name in PSI)
    ask = [] if action.none_because else _questions(action, duration, psi if known else (), design)
    return SettledAction(action, duration if isinstance(duration, str) else None, (psi[0], psi[1], psi[2]), tuple(ask))


def _number(found: float | str | None) -> float | None:
    return float(found) if isinstance(found, (int, float)) else None


def _questions(action: Action, duration: float | str | None, psi: tuple[float | None, ...], design: Design) -> list[str]:
    known = f"action {action.id!r} ({action.nature}, category {action.category or 'not stated'})"
    asked = []
    if duration is None:
        asked.append(f"How long does {known} last? State its duration, or a category the code in force knows.")
    if None in psi:
        if action.nature == "snow" and design.site.altitude_m is None:
            asked.append("How high does the site lie? (site.altitude_m) The snow's combination factors depend on it.")
        else:
            asked.append(f"Which category of use is {known}? The code's combination factors depend on it.")
    return asked


def combine(design: Design, actions: tuple[SettledAction, ...], selection: Selection) -> dict[str, CombinationSet]:
    """Every combination set the code pack in force makes; empty without one."""
    makers = [chosen.pack.combine for chosen in selection.packs if chosen.pack.combine]
    sets: dict[str, CombinationSet] = {}
    for make in makers:
        try:
            sets |= make(actions, selection.values)
        except TooManyCombinations as excess:
            raise DesignRefused((_too_many(design, excess),)) from excess
    return sets


def _too_many(design: Design, excess: TooManyCombinations) -> Fault:
    return Fault(
        pointer("actions"),
        "too-many-combinations",
        f"{str(excess)[0].upper()}{str(excess)[1:]}.",
        found=len(design.actions),
        hint='Put cases that never act together into one group (the same "one_of"), or name them in "never_with".',
    )
