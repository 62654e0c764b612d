"""Designs with a value changed, taken out or added, anywhere in them: for those who hold two readers of a document to one answer."""

from collections.abc import Callable, Iterator
from typing import Any

from hypothesis import strategies as st

Steps = tuple[str | int, ...]
NAMES = st.sampled_from([
    "plies", "ends", "treatment", "bracing", "joints", "codes", "levels", "as_of", "parameters", "waivers", "baseline", "free", "anywhere", "springs", "floor",
    "settlement_mm", "title", "count", "moment_knm", "at_mm", "offset_mm", "x", "site", "service_class", "country", "in_plane_mm", "point_kn", "node", "seat",
])  # fmt: skip
"""Names of members that stand somewhere in a design, and one that stands nowhere."""


def places(value: Any, steps: Steps = ()) -> Iterator[Steps]:
    """How to come to each value inside another."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, item in inner:
        yield (*steps, step)
        yield from places(item, (*steps, step))


def change(design: Any, draw: Callable[[st.SearchStrategy[Any]], Any], values: st.SearchStrategy[Any]) -> None:
    """Put one of the values somewhere, under a name that is there or another, or take one out."""
    *way, last = draw(st.sampled_from(list(places(design))))
    holder = design
    for step in way:
        holder = holder[step]
    if isinstance(holder, dict) and draw(st.booleans()):
        last = draw(NAMES)
    if isinstance(holder, list) or draw(st.integers(0, 5)):
        holder[last] = draw(values)
    else:
        holder.pop(last, None)
