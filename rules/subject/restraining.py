"""Whether what holds a component can be: restraints within their pieces, braces of pieces that are there, anchors that end somewhere."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rules.subject.axes import TOLERANCE_MM, Axis
from rules.subject.design import Design
from rules.subject.faults import Fault, pointer
from rules.subject.fixings import misfixed
from rules.subject.frame import Member
from rules.subject.holding import Bracing, Hanger
from rules.subject.names import Register, register, repeated
from rules.subject.placing import Places

_SIDEWAYS = ("out_of_plane_mm", "top_edge_mm", "bottom_edge_mm")


def overlong(place: int, member: Member, axes: Mapping[str, Axis]) -> Iterator[Fault]:
    """A fault for each distance between restraints that is longer than the piece they hold."""
    axis = axes.get(member.id)
    if axis is None:
        return
    offsets = [abs(side) for end in (member.start_offset_mm, member.end_offset_mm) for side in end]
    longest = axis.length_mm + sum(offsets) + TOLERANCE_MM
    for field in _SIDEWAYS:
        spacing = getattr(member.restraints, field)
        if isinstance(spacing, float) and spacing > longest:
            detail = f"“{member.id}” is {axis.length_mm:.9g} mm long; nothing can hold it every {spacing:.9g} mm."
            allowed = f'at most {axis.length_mm:.9g} mm, or "none"'
            hint = 'Write "none" where nothing holds it between its ends.'
            yield Fault(pointer("members", place, "restraint_spacing", field), "beyond-piece", detail, spacing, allowed, hint)


def unheld(design: Design, places: Places) -> Iterator[Fault]:
    """Every fault of bracing, hangers and what was measured, in that order."""
    supports = register("support", [support.id for support in design.supports])
    yield from _bracing(design, places)
    yield from _hangers(design, supports)
    yield from misfixed(design)
    yield from _as_built(design, supports)


def _bracing(design: Design, places: Places) -> Iterator[Fault]:
    if not isinstance(design.bracing, tuple):
        return
    yield from repeated(("bracing",), "item of bracing", [item.id for item in design.bracing])
    for place, item in enumerate(design.bracing):
        yield from _brace(place, item, places)
    yield from _circles(design.bracing)


def _brace(place: int, item: Bracing, places: Places) -> Iterator[Fault]:
    for step, name in enumerate(item.members):
        yield from places.members.faults(name, "bracing", place, "members", step)
    if item.from_mm is not None and item.to_mm is not None and item.from_mm >= item.to_mm:
        detail = f"“{item.id}” begins at {item.from_mm:.9g} mm and ends at {item.to_mm:.9g} mm."
        hint = "Let it end beyond its beginning."
        yield Fault(pointer("bracing", place, "from_mm"), "no-extent", detail, item.from_mm, f"below {item.to_mm:.9g} mm", hint)
    longest = max((places.axes[name].length_mm for name in item.members if name in places.axes), default=None)
    for field in ("from_mm", "to_mm"):
        at = getattr(item, field)
        if at is not None and longest is not None and at > longest + TOLERANCE_MM:
            detail = f"{at:.9g} mm is beyond the end of every piece that “{item.id}” holds."
            allowed = f"at most {longest:.9g} mm"
            yield Fault(pointer("bracing", place, field), "beyond-piece", detail, at, allowed, "Measure from the piece's first node.")


def _circles(bracing: tuple[Bracing, ...]) -> Iterator[Fault]:
    """Items whose force never leaves the bracing, because each hands it on to another."""
    onward = {item.id: item.anchored_to for item in bracing}
    for place, item in enumerate(bracing):
        at, seen = item.anchored_to, set[str]()
        while at in onward and at not in seen:
            seen.add(str(at))
            at = onward[str(at)]
        if item.id in seen:
            detail = f"“{item.id}” hands its force on to “{item.anchored_to}”, and gets it back."
            hint = "Let one of them end at something that stands by itself, and say what."
            yield Fault(pointer("bracing", place, "anchored_to"), "contradiction", detail, item.anchored_to, None, hint)


def _hangers(design: Design, supports: Register) -> Iterator[Fault]:
    yield from repeated(("hangers",), "hanger", [hanger.id for hanger in design.hangers])
    yield from repeated(("hangers",), "support", [hanger.support for hanger in design.hangers], key="support")
    seats = {support.id: support.seat.on if support.seat else None for support in design.supports}
    for place, hanger in enumerate(design.hangers):
        yield from supports.faults(hanger.support, "hangers", place, "support")
        yield from _elsewhere(place, hanger, seats)


def _elsewhere(place: int, hanger: Hanger, seats: Mapping[str, str | None]) -> Iterator[Fault]:
    on = seats.get(hanger.support, "hanger")
    if on != "hanger":
        words = f"bears on {on}" if on else "does not say what it bears on"
        detail = f"“{hanger.id}” is given for “{hanger.support}”, which {words}."
        yield Fault(pointer("hangers", place, "support"), "contradiction", detail, hanger.support, None, 'State seat.on as "hanger" there.')


def _as_built(design: Design, supports: Register) -> Iterator[Fault]:
    found = design.as_built.at_supports if design.as_built else ()
    yield from repeated(("as_built", "at_supports"), "support", [item.support for item in found], key="support")
    for place, item in enumerate(found):
        yield from supports.faults(item.support, "as_built", "at_supports", place, "support")
