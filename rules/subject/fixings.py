"""What has to hold of fasteners: they stand in place of a declared capacity, and no more of them in a line than there are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rules.subject.design import Design
from rules.subject.fastening import Fasteners
from rules.subject.faults import Fault, pointer
from rules.subject.holding import Anchor, Strength

At = tuple[str | int, ...]


def misfixed(design: Design) -> Iterator[Fault]:
    """Every fault of the fasteners of bracing, straps and hangers."""
    for place, item in enumerate(design.bracing if isinstance(design.bracing, tuple) else ()):
        said = {"nails": item.nails, "fixing_capacity": item.fixing_capacity}
        yield from _fixing(("bracing", place), item.id, item.fasteners, said, {})
        if item.anchor:
            yield from _anchored(place, item.id, item.anchor, item.anchor_capacity)
    for place, support in enumerate(design.supports):
        if strap := support.held_down_by:
            at: At = ("supports", place, "held_down_by")
            yield from _fixing(at, support.id, strap.fasteners, {"capacity": strap.capacity}, {"rest_capacity": strap.rest_capacity})
    for place, hanger in enumerate(design.hangers):
        rest = {"rest_down": hanger.rest_down, "rest_up": hanger.rest_up}
        yield from _fixing(("hangers", place), hanger.id, hanger.fasteners, {"down": hanger.down, "up": hanger.up}, rest)
    yield from _strapped_hangers(design)


def _fixing(at: At, id: str, fasteners: Fasteners | None, said: Mapping[str, object], rest: Mapping[str, object]) -> Iterator[Fault]:
    for name in [name for name, value in said.items() if value is not None and fasteners]:
        detail = f"“{id}” states its fasteners and also {name}; one of them would have to be wrong."
        hint = "State the fasteners, or what is declared of them, not both."
        yield Fault(pointer(*at, name), "contradiction", detail, None, None, hint)
    for name in [name for name, value in rest.items() if value is not None and not fasteners]:
        detail = f"“{id}” states {name}, what is carried apart from its fasteners, and no fasteners."
        yield Fault(pointer(*at, name), "contradiction", detail, None, None, "State the fasteners too, or the capacity of the whole.")
    if fasteners and fasteners.pull_angle_deg is not None and fasteners.pulled != "both":
        detail = f"“{id}” states the angle of the pull, and not that it goes both across and along the fasteners."
        where, hint = pointer(*at, "fasteners", "pull_angle_deg"), 'State pulled as "both", or leave the angle out.'
        yield Fault(where, "contradiction", detail, fasteners.pull_angle_deg, None, hint)
    if fasteners and fasteners.in_row and fasteners.in_row > fasteners.count:
        detail = f"“{id}” has {fasteners.count} fasteners, and {fasteners.in_row} of them in one line."
        where = pointer(*at, "fasteners", "in_row")
        yield Fault(where, "contradiction", detail, fasteners.in_row, f"at most {fasteners.count}", "Check both figures.")


def _anchored(place: int, id: str, anchor: Anchor, capacity: Strength | None) -> Iterator[Fault]:
    yield from _fixing(("bracing", place, "anchor"), id, anchor.fasteners, {}, {})
    if capacity is not None:
        detail = f"“{id}” states the fasteners of its anchorage and also anchor_capacity; one of them would have to be wrong."
        hint = "State anchor, or what is declared of it in anchor_capacity, not both."
        yield Fault(pointer("bracing", place, "anchor_capacity"), "contradiction", detail, None, None, hint)
    if anchor.rest_capacity is not None and anchor.fasteners.plate_mm is None:
        detail = f"“{id}” states what a strap of its anchorage carries, and fasteners through timber only."
        where, hint = (
            pointer("bracing", place, "anchor", "rest_capacity"),
            "State fasteners.plate_mm, the steel under their heads, or leave it out.",
        )
        yield Fault(where, "contradiction", detail, None, None, hint)


def _strapped_hangers(design: Design) -> Iterator[Fault]:
    """Fasteners of a strap and of a hanger at one support would be taken for each other."""
    strapped = {support.id for support in design.supports if support.held_down_by and support.held_down_by.fasteners}
    for place, hanger in enumerate(design.hangers):
        if hanger.fasteners and hanger.support in strapped:
            detail = f"Both the strap and “{hanger.id}” at “{hanger.support}” state fasteners."
            hint = "Declare what one of the two carries."
            yield Fault(pointer("hangers", place, "fasteners"), "contradiction", detail, None, None, hint)
