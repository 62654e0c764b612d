"""National Building Code of Canada 2015, Table 4.1.3.2.-A: every subset of the variable actions that can act together, in every equation that is for it.

A stored live load counts for a half more beside snow or wind (4.1.3.2.(7)): where one acts, the equations of that name take the place of the others.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from rules.library import Value
from rules.library.combining import Equation, by_nature, combination_set, equations, subsets
from rules.subject.settled import CombinationSet, SettledAction

Bools = NDArray[np.bool_]

APART = (("roof-imposed", "snow"), ("roof-imposed", "wind"))
STORAGE = ", storage"
"""End of the name of an equation that holds where a stored live load acts."""


def combine(actions: Sequence[SettledAction], values: Mapping[str, Value]) -> dict[str, CombinationSet]:
    """Strength, and movements under all load as it is."""
    together = subsets(actions, APART)
    service = by_nature(values, "service_factors")
    variable = frozenset(nature for nature in service if nature != "permanent")
    every = [(Equation("service", service, variable), together), (Equation("service", {"permanent": 1.0}), together)]
    wanted = list(_by_kind(equations(values, "load_factors", "leading"), actions, together, values))
    return {
        "ultimate": combination_set("ultimate", actions, wanted),
        "characteristic": combination_set("characteristic", actions, every, {}),
    }


def _by_kind(
    listed: Sequence[Equation], actions: Sequence[SettledAction], together: Bools, values: Mapping[str, Value]
) -> Iterator[tuple[Equation, Bools]]:
    """Every equation with the subsets that are its own."""
    stored = np.array([_stored(each, values) for each in actions], dtype=np.bool_)
    held = (together & stored).any(axis=1)
    split = {each.name.removesuffix(STORAGE) for each in listed if each.name.endswith(STORAGE)}
    for each in listed:
        own = held if each.name.endswith(STORAGE) else ~held | (each.name not in split)
        yield each, together[own]


def _stored(each: SettledAction, values: Mapping[str, Value]) -> bool:
    """Whether it is a stored live load; a category that is not known counts as stored."""
    table = values["live_kind"].table
    assert table is not None, "live_kind is a table in its pack"
    found = table.look_up([each.action.category]) if each.action.category else None
    return each.action.nature == "imposed" and found in (None, "storage")
