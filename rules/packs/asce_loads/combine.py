"""ASCE 7 combinations of loads: every subset of the variable actions that can act together, in every equation that is for it.

From memory, ASCE 7-16 and 7-22, 2.3.1 (strength) and 2.4.1 (allowable stress). Roof live load and snow never act together.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from rules.library import Value
from rules.library.combining import Equation, by_nature, combination_set, equations, subsets, word
from rules.subject.settled import CombinationSet, SettledAction

Bools = NDArray[np.bool_]

APART = (("roof-imposed", "snow"),)
KINDS = ("storage", "impact")
"""Live loads for which the equation led by live load has a time effect of its own, the weightiest first."""


def combine(actions: Sequence[SettledAction], values: Mapping[str, Value]) -> dict[str, CombinationSet]:
    """Strength by the method in force, and movements with and without permanent load."""
    together = subsets(actions, APART)
    edition, method = word(values, "load_edition"), word(values, "design_method")
    service = by_nature(values, "service_factors", edition)
    live = {nature: share for nature, share in service.items() if nature != "permanent"}
    wanted = list(_by_kind(equations(values, "load_factors", "leading", method, edition), actions, together, values))
    every = [(Equation("service", service, frozenset(live)), together), (Equation("service", {"permanent": 1.0}), together)]
    variable = combination_set("variable", actions, [(Equation("live", live, frozenset(live)), together)], {})
    return {
        "ultimate": combination_set("ultimate", actions, wanted),
        "characteristic": combination_set("characteristic", actions, every, by_nature(values, "long_term")),
        **({"variable": variable} if len(variable) else {}),
    }


def _by_kind(
    listed: Sequence[Equation], actions: Sequence[SettledAction], together: Bools, values: Mapping[str, Value]
) -> Iterator[tuple[Equation, Bools]]:
    """Every equation with the subsets that are its own: those of live load go by the kind of live load that acts."""
    kinds = np.array([_kind(each, values) for each in actions])
    held = [(together & (kinds == kind)).any(axis=1) for kind in KINDS]
    own = {"storage": held[0], "impact": held[1] & ~held[0], "": ~held[0] & ~held[1]}
    split = {each.name.partition(", ")[0] for each in listed if ", " in each.name}
    for each in listed:
        base, _, kind = each.name.partition(", ")
        yield each, together[own[kind]] if base in split else together


def _kind(each: SettledAction, values: Mapping[str, Value]) -> str:
    """What a live load is for the time effect; a category that is not known counts as stored."""
    table = values["live_kind"].table
    if each.action.nature != "imposed" or table is None:
        return ""
    found = table.look_up([each.action.category]) if each.action.category else None
    return str(found or KINDS[0])
