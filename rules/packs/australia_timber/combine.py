"""AS/NZS 1170.0:2002, 4.2.2: every subset of the variable actions that can act together, in every equation that is for it. From memory."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rules.library import Value
from rules.library.combining import Equation, by_nature, combination_set, equations, subsets
from rules.subject.settled import CombinationSet, SettledAction

APART = (("roof-imposed", "snow"), ("roof-imposed", "wind"))


def combine(actions: Sequence[SettledAction], values: Mapping[str, Value]) -> dict[str, CombinationSet]:
    """Strength, and movements under all load as it is."""
    together = subsets(actions, APART)
    service = by_nature(values, "service_factors")
    variable = frozenset(nature for nature in service if nature != "permanent")
    every = [(Equation("service", service, variable), together), (Equation("service", {"permanent": 1.0}), together)]
    return {
        "ultimate": combination_set("ultimate", actions, [(each, together) for each in equations(values, "load_factors", "leading")]),
        "characteristic": combination_set("characteristic", actions, every, {}),
    }
