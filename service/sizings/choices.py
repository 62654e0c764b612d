"""What may be chosen, and what each choice costs.

Pieces are measured between end nodes as the document itself draws them, so that a choice has a price before anything of it is
checked. Without prices the volume of the timber stands for the cost.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod
from typing import Any

Document = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Make:
    """What the pieces of a group may be: stock, the request's own entry; plies, None where the design says how many; cost of all of
    them in one component."""

    stock: Mapping[str, Any]
    plies: int | None
    cost: float


@dataclass(frozen=True, slots=True)
class Group:
    """Pieces made alike. members: their ids in the drawn frame; makes: cheapest first."""

    name: str
    role: str | None
    members: tuple[str, ...]
    makes: tuple[Make, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """One make for each group and a distance between components. picks: places in the groups' makes; cost: of a component, or of a
    metre of building where distances vary."""

    cost: float
    spacing_mm: float | None
    picks: tuple[int, ...]

    @property
    def key(self) -> tuple[float | None, tuple[int, ...]]:
        """What tells it from the others."""
        return self.spacing_mm, self.picks


@dataclass(frozen=True, slots=True)
class Range:
    """All that may be chosen. fixed: cost of a component besides its groups; spacings: (None,) where they do not vary."""

    groups: tuple[Group, ...]
    spacings: tuple[float | None, ...]
    fixed: float

    def __len__(self) -> int:
        return len(self.spacings) * prod(len(group.makes) for group in self.groups)

    def choice(self, spacing: float | None, picks: Sequence[int]) -> Choice:
        """The choice of these makes."""
        cost = self.fixed + sum(group.makes[pick].cost for group, pick in zip(self.groups, picks, strict=True))
        return Choice(cost if spacing is None else cost * 1000.0 / spacing, spacing, tuple(picks))

    def cheapest_first(self) -> list[Choice]:
        """Every choice; those of one cost in the order of spacings and stock."""
        every = [self.choice(spacing, picks) for spacing in self.spacings for picks in product(*(range(len(g.makes)) for g in self.groups))]
        return sorted(every, key=lambda choice: choice.cost)

    def made(self, choice: Choice, group: Group) -> Make:
        """What a choice makes a group of."""
        return group.makes[choice.picks[self.groups.index(group)]]

    def written(self, choice: Choice, document: Mapping[str, Any]) -> Document:
        """The design document with this choice in it."""
        changed = dict(document)
        if choice.spacing_mm is not None:
            changed["spacing_mm"] = choice.spacing_mm
        for group in self.groups:
            _put(changed, group, self.made(choice, group))
        return changed


def _put(document: Document, group: Group, make: Make) -> None:
    stock = make.stock
    timber: Document = {"section": {"b_mm": stock["b_mm"], "h_mm": stock["h_mm"]}, "grade": stock["grade"]}
    timber |= {} if make.plies is None else {"plies": make.plies}
    shape = document.get("shape")
    if shape is not None:
        pieces = {**shape["pieces"], group.role: {**shape["pieces"][group.role], **timber}}
        document["shape"] = {**shape, "pieces": pieces}
    else:
        document["members"] = [{**each, **timber} if each["id"] in group.members else each for each in document["members"]]
